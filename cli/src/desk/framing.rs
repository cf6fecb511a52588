//! Messages of the language server in its byte stream: a header with the length, a blank line, the body.

use tokio::io::{
    AsyncBufRead, AsyncBufReadExt as _, AsyncReadExt as _, AsyncWrite, AsyncWriteExt as _,
};

/// Writes one message.
pub async fn put(out: &mut (impl AsyncWrite + Unpin), body: &str) -> std::io::Result<()> {
    let header = format!("Content-Length: {}\r\n\r\n", body.len());
    out.write_all(header.as_bytes()).await?;
    out.write_all(body.as_bytes()).await
}

/// Reads one message; `None` where the stream ends. It comes from our own server, which writes nothing else.
pub async fn take(input: &mut (impl AsyncBufRead + Unpin)) -> Option<String> {
    let mut length = 0;
    loop {
        let mut line = String::new();
        if input.read_line(&mut line).await.ok()? == 0 {
            return None;
        }
        let line = line.trim_end();
        if line.is_empty() {
            break;
        }
        let given = line.split_once(':').filter(|(n, _)| n.eq_ignore_ascii_case("content-length"));
        if let Some((_, given)) = given {
            length = given.trim().parse().ok()?;
        }
    }
    let mut body = vec![0; length];
    input.read_exact(&mut body).await.ok()?;
    String::from_utf8(body).ok()
}
