//! Reads framed messages from a byte stream: `Content-Length: N`, a blank line, N bytes of JSON.
//!
//! A malformed message must not end the session: it is reported once and skipped, and reading goes on at
//! the next header.

/// The largest message taken in. A plan of this size could not be read anyway.
pub const MESSAGE_LIMIT: usize = 64 * 1024 * 1024;

/// The longest header taken in.
const HEADER_LIMIT: usize = 8 * 1024;

/// What came out of the stream.
#[derive(Debug, PartialEq, Eq)]
pub enum Frame {
    /// The body of a message; not yet known to be JSON, nor even UTF-8.
    Body(Vec<u8>),
    /// Something that is no message.
    Broken(&'static str),
    /// A message of so many bytes, too large to take in.
    TooLarge(u64),
}

/// Bytes in, frames out.
#[derive(Debug, Default)]
pub struct Frames {
    buffer: Vec<u8>,
    /// Where unread bytes begin.
    at: usize,
    /// Bytes of a message too large to keep, still to be thrown away.
    skip: u64,
}

const NAME: &[u8] = b"content-length";

impl Frames {
    pub fn push(&mut self, bytes: &[u8]) {
        let skipped = usize::try_from(self.skip).unwrap_or(usize::MAX).min(bytes.len());
        self.skip -= skipped as u64;
        if self.at > 0 {
            self.buffer.drain(..self.at);
            self.at = 0;
        }
        self.buffer.extend_from_slice(&bytes[skipped..]);
    }

    /// The next frame, if it has come in whole.
    pub fn next(&mut self) -> Option<Frame> {
        let rest = &self.buffer[self.at..];
        let Some(header_end) = find(rest, b"\r\n\r\n") else {
            if rest.len() > HEADER_LIMIT {
                self.resync(1);
                return Some(Frame::Broken("a header that does not end"));
            }
            return None;
        };
        let header = &rest[..header_end];
        let body_at = header_end + 4;
        let length = match content_length(header) {
            Ok(length) => length,
            Err(why) => {
                self.resync_after_header(header_end);
                return Some(Frame::Broken(why));
            }
        };
        if length > MESSAGE_LIMIT as u64 {
            return Some(self.too_large(body_at, length));
        }
        let length = length as usize;
        let body = rest.get(body_at..body_at + length)?.to_vec();
        self.at += body_at + length;
        Some(Frame::Body(body))
    }

    fn too_large(&mut self, body_at: usize, length: u64) -> Frame {
        let have = (self.buffer.len() - self.at - body_at) as u64;
        let here = have.min(length);
        self.skip = length - here;
        self.at += body_at + here as usize;
        Frame::TooLarge(length)
    }

    /// Goes on at the next thing that looks like a header: inside a broken header there may be the
    /// true one of the next message.
    fn resync_after_header(&mut self, header_end: usize) {
        let header = &self.buffer[self.at..self.at + header_end];
        let later =
            (1..header.len()).find(|i| header[i - 1] == b'\n' && starts_with_name(&header[*i..]));
        // A header that begins with the name is itself what is wrong.
        self.at += later.unwrap_or(header_end + 4);
    }

    fn resync(&mut self, from: usize) {
        let rest = &self.buffer[self.at..];
        let next = (from..rest.len()).find(|i| starts_with_name(&rest[*i..]));
        self.at += next.unwrap_or(rest.len());
    }
}

fn starts_with_name(bytes: &[u8]) -> bool {
    bytes.get(..NAME.len()).is_some_and(|head| head.eq_ignore_ascii_case(NAME))
}

fn find(bytes: &[u8], what: &[u8]) -> Option<usize> {
    bytes.windows(what.len()).position(|w| w == what)
}

/// The length that a header gives. Garbage before the header's name, on the same line, is what a
/// message that was longer than it said leaves behind.
fn content_length(header: &[u8]) -> Result<u64, &'static str> {
    let mut found = None;
    for line in header.split(|b| *b == b'\n') {
        let Some(start) = (0..line.len()).find(|i| starts_with_name(&line[*i..])) else {
            continue;
        };
        let rest = &line[start + NAME.len()..];
        let text = std::str::from_utf8(rest).map_err(|_| "a length that is no number")?;
        let digits = text.trim_start().strip_prefix(':').unwrap_or_default().trim();
        found = Some(digits.parse::<u64>().map_err(|_| "a length that is no number")?);
    }
    found.ok_or("a header without a length")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all(bytes: &[u8]) -> Vec<Frame> {
        let mut frames = Frames::default();
        frames.push(bytes);
        std::iter::from_fn(|| frames.next()).collect()
    }

    fn body(text: &str) -> Frame {
        Frame::Body(text.as_bytes().to_vec())
    }

    #[test]
    fn two_messages_at_once_and_one_byte_at_a_time() {
        let bytes = b"Content-Length: 2\r\n\r\n{}content-length:3\r\nX: y\r\n\r\n[1]";
        assert_eq!(all(bytes), [body("{}"), body("[1]")]);
        let mut frames = Frames::default();
        let mut out = Vec::new();
        for byte in bytes {
            frames.push(&[*byte]);
            out.extend(frames.next());
        }
        assert_eq!(out, [body("{}"), body("[1]")]);
    }

    #[test]
    fn what_is_no_message_is_named_and_skipped() {
        let good = "Content-Length: 2\r\n\r\n{}";
        for bad in
            ["Content-Type: x\r\n\r\n", "Content-Length: abc\r\n\r\n", "Content-Length: -5\r\n\r\n"]
        {
            let got = all(format!("{bad}{good}").as_bytes());
            assert!(matches!(got[0], Frame::Broken(_)), "{bad}");
            assert_eq!(got.last(), Some(&body("{}")), "{bad}");
        }
    }

    #[test]
    fn a_message_longer_than_it_said_loses_itself_only() {
        let got = all(b"Content-Length: 3\r\n\r\n{\"a\":1}Content-Length: 2\r\n\r\n{}");
        assert_eq!(got, [body("{\"a"), body("{}")]);
    }

    #[test]
    fn a_length_beyond_reason_asks_for_no_memory() {
        let mut frames = Frames::default();
        frames.push(b"Content-Length: 1000000000000000\r\n\r\n{}");
        assert!(matches!(frames.next(), Some(Frame::TooLarge(1_000_000_000_000_000))));
        for _ in 0..1000 {
            frames.push(&[b'x'; 1000]);
            assert_eq!(frames.next(), None);
        }
        assert!(frames.buffer.is_empty());
    }
}
