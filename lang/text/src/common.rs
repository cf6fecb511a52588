//! How far two texts agree, from the front and from the back.

/// Compared in chunks, because texts are long and nearly equal.
const STRETCH: usize = 256;

/// Bytes that two texts have in common from the front.
pub fn common_prefix(a: &[u8], b: &[u8]) -> usize {
    let whole = a.chunks_exact(STRETCH).zip(b.chunks_exact(STRETCH));
    let from = whole.take_while(|(a, b)| a == b).count() * STRETCH;
    from + a[from..].iter().zip(&b[from..]).take_while(|(a, b)| a == b).count()
}

/// Bytes that two texts have in common from the back.
pub fn common_suffix(a: &[u8], b: &[u8]) -> usize {
    let whole = a.rchunks_exact(STRETCH).zip(b.rchunks_exact(STRETCH));
    let from = whole.take_while(|(a, b)| a == b).count() * STRETCH;
    let (a, b) = (&a[..a.len() - from], &b[..b.len() - from]);
    from + a.iter().rev().zip(b.iter().rev()).take_while(|(a, b)| a == b).count()
}
