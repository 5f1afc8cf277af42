//! The metadata of the file, in two places that must agree: the
//! information dictionary (ISO 32000-1, 14.3.3) and XMP (ISO 16684-1).

use std::io;

use lopdf::{Dictionary, Object, Stream, StringFormat};

use super::file::PdfFile;
use super::object::Ref;
use crate::sheet::{About, Date};

/// The program's name, as written in the file.
const PRODUCER: &str = "shadecard";

/// Title, author, dates, and what a press wants to know.
pub struct Metadata<'a> {
    about: &'a About,
    /// A file for a press must be dated; any other is if its sheet is.
    date: Option<Date>,
    /// For a press: a hash of what is on the pages.
    press: Option<[u8; 16]>,
}

impl<'a> Metadata<'a> {
    /// With a hash of what is on the pages, for a press.
    pub fn new(about: &'a About, content: Option<[u8; 32]>) -> Metadata<'a> {
        let press = content.map(|content| {
            let mut hash = [0; 16];
            hash.copy_from_slice(&content[..16]);
            hash
        });
        let date = press.map(|_| about.date()).or(about.issue_date);
        Metadata { about, date, press }
    }

    /// Adds both to the file; returns the information dictionary and the XMP stream.
    ///
    /// # Errors
    /// Those of the file.
    pub fn add(&self, file: &mut PdfFile<'_>) -> io::Result<(Ref, Ref)> {
        let info = file.add_object(self.info())?;
        let kind = Dictionary::from_iter([
            ("Type", Object::from("Metadata")),
            ("Subtype", Object::from("XML")),
        ]);
        // Left as it is, so that programs that know no PDF find it.
        let xmp = Stream::new(kind, self.xmp().into_bytes()).with_compression(false);
        Ok((info, file.add_object(xmp)?))
    }

    fn info(&self) -> Dictionary {
        let mut info = Dictionary::from_iter([
            ("Title", text_string(&self.about.title)),
            ("Author", text_string(&self.about.author)),
            ("Creator", text_string(PRODUCER)),
            ("Producer", text_string(PRODUCER)),
        ]);
        if let Some(date) = self.date {
            // ISO 32000-1, 7.9.4; midnight in Greenwich, since a sheet names a day.
            let (year, month, day) = (date.year(), u8::from(date.month()), date.day());
            let text = text_string(&format!("D:{year:04}{month:02}{day:02}000000Z"));
            info.set("CreationDate", text.clone());
            info.set("ModDate", text);
        }
        if self.press.is_some() {
            info.set("Trapped", "False");
        }
        info
    }

    fn xmp(&self) -> String {
        let about = self.about;
        let (title, author) = (escape(&about.title), escape(&about.author));
        let language = escape(&about.language);
        let dates = self.date.map_or(String::new(), |date| {
            let date = format!("{date}T00:00:00Z");
            ["CreateDate", "ModifyDate", "MetadataDate"]
                .map(|key| format!("<xmp:{key}>{date}</xmp:{key}>\n"))
                .concat()
        });
        let press = self.press.map_or(String::new(), |hash| {
            format!(
                "<pdf:Trapped>False</pdf:Trapped>\n\
                 <pdfxid:GTS_PDFXVersion>PDF/X-4</pdfxid:GTS_PDFXVersion>\n\
                 <xmpMM:DocumentID>uuid:{}</xmpMM:DocumentID>\n\
                 <xmpMM:VersionID>1</xmpMM:VersionID>\n\
                 <xmpMM:RenditionClass>default</xmpMM:RenditionClass>\n",
                uuid(hash)
            )
        });
        let spaces = if self.press.is_some() {
            r#" xmlns:pdfxid="http://www.npes.org/pdfx/ns/id/" xmlns:xmpMM="http://ns.adobe.com/xap/1.0/mm/""#
        } else {
            ""
        };
        format!(
            r#"<?xpacket begin="{bom}" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/">
<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:pdf="http://ns.adobe.com/pdf/1.3/" xmlns:xmp="http://ns.adobe.com/xap/1.0/"{spaces}>
<dc:format>application/pdf</dc:format>
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>
<dc:creator><rdf:Seq><rdf:li>{author}</rdf:li></rdf:Seq></dc:creator>
<dc:language><rdf:Bag><rdf:li>{language}</rdf:li></rdf:Bag></dc:language>
<pdf:Producer>{PRODUCER}</pdf:Producer>
<xmp:CreatorTool>{PRODUCER}</xmp:CreatorTool>
{dates}{press}</rdf:Description>
</rdf:RDF>
</x:xmpmeta>
<?xpacket end="r"?>
"#,
            bom = '\u{FEFF}',
        )
    }
}

fn escape(text: &str) -> String {
    let text: String = text.chars().filter(|&c| c >= ' ').collect();
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}

/// A UUID of version 8, which leaves the bits to the maker (RFC 9562, 5.8).
fn uuid(mut hash: [u8; 16]) -> String {
    hash[6] = hash[6] & 0x0F | 0x80;
    hash[8] = hash[8] & 0x3F | 0x80;
    let hex: String = hash.iter().map(|b| format!("{b:02x}")).collect();
    [&hex[..8], &hex[8..12], &hex[12..16], &hex[16..20], &hex[20..]].join("-")
}

/// A text string (ISO 32000-1, 7.9.2.2): ASCII, or UTF-16 with a byte order mark.
pub fn text_string(text: &str) -> Object {
    if text.bytes().all(|b| (b' '..=b'~').contains(&b)) {
        return Object::String(text.as_bytes().to_vec(), StringFormat::Literal);
    }
    let units = std::iter::once(0xFEFF).chain(text.encode_utf16());
    Object::String(units.flat_map(u16::to_be_bytes).collect(), StringFormat::Hexadecimal)
}
