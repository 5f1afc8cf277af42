//! Small objects in one compressed stream (ISO 32000-1, 7.5.7).

use super::object::Ref;

/// Objects in a stream: a reader unpacks a whole one to get at any object in
/// it. Chosen by size on a poster, no source.
const MOST: usize = 200;

/// Objects that will be one object stream.
#[derive(Debug, Clone, Default)]
pub struct Pack {
    /// Each object and where its text starts.
    starts: Vec<(Ref, usize)>,
    text: Vec<u8>,
}

impl Pack {
    /// Adds an object that is not a stream.
    pub fn push(&mut self, id: Ref, text: &[u8]) {
        self.starts.push((id, self.text.len()));
        self.text.extend_from_slice(text);
        self.text.push(b'\n');
    }

    pub fn is_empty(&self) -> bool {
        self.starts.is_empty()
    }

    pub fn is_full(&self) -> bool {
        self.starts.len() >= MOST
    }

    /// The objects' text, one a line.
    pub fn text(&self) -> &[u8] {
        &self.text
    }

    /// The objects, in their order in the stream.
    pub fn ids(&self) -> impl Iterator<Item = Ref> {
        self.starts.iter().map(|s| s.0)
    }

    /// The entries of the stream's dictionary and its content: pairs of
    /// numbers and offsets, and then the objects.
    pub fn into_stream(self) -> (String, Vec<u8>) {
        let pairs = self.starts.iter().map(|(id, start)| format!("{} {start}\n", id.0));
        let mut content = pairs.collect::<String>().into_bytes();
        let entries = format!("/Type/ObjStm/N {}/First {}", self.starts.len(), content.len());
        content.extend(self.text);
        (entries, content)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pairs_come_before_the_objects() {
        let mut pack = Pack::default();
        pack.push(Ref(7), b"<<>>");
        pack.push(Ref(11), b"[1 2]");
        assert_eq!(pack.ids().collect::<Vec<_>>(), [Ref(7), Ref(11)]);
        let (entries, content) = pack.into_stream();
        assert_eq!(entries, "/Type/ObjStm/N 2/First 9");
        assert_eq!(content, b"7 0\n11 5\n<<>>\n[1 2]\n");
    }
}
