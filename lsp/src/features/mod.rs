//! What editors ask, each a pure function of [`Facts`](crate::Facts) and a byte offset, giving plain
//! data. None of them knows the protocol.
