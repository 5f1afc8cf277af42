//! What follows the head of an answer: bytes, or a stream that goes on.

use std::convert::Infallible;
use std::pin::Pin;
use std::task::{Context, Poll};

use hyper::body::{Bytes, Frame, SizeHint};
use tokio::sync::mpsc::Receiver;

/// The body of an answer.
pub enum Body {
    Whole(Option<Bytes>),
    Stream(Receiver<String>),
}

impl Body {
    pub fn whole(bytes: Vec<u8>) -> Body {
        Body::Whole(Some(bytes.into()).filter(|bytes: &Bytes| !bytes.is_empty()))
    }

    pub fn stream(texts: Receiver<String>) -> Body {
        Body::Stream(texts)
    }
}

impl hyper::body::Body for Body {
    type Data = Bytes;
    type Error = Infallible;

    fn poll_frame(
        self: Pin<&mut Self>,
        context: &mut Context<'_>,
    ) -> Poll<Option<Result<Frame<Bytes>, Infallible>>> {
        match self.get_mut() {
            Body::Whole(bytes) => Poll::Ready(bytes.take().map(|bytes| Ok(Frame::data(bytes)))),
            Body::Stream(texts) => {
                let frame = |text: String| Ok(Frame::data(text.into()));
                texts.poll_recv(context).map(|text| text.map(frame))
            }
        }
    }

    fn is_end_stream(&self) -> bool {
        matches!(self, Body::Whole(None))
    }

    fn size_hint(&self) -> SizeHint {
        match self {
            Body::Whole(bytes) => SizeHint::with_exact(bytes.as_ref().map_or(0, Bytes::len) as u64),
            Body::Stream(_) => SizeHint::default(),
        }
    }
}
