//! Limits on a file's size and depth, and the supported edition.

/// The edition of the language that this program reads.
pub const EDITION: u32 = 1;

/// Files may be this large, in bytes; a case of two years is some ten thousand.
pub const SIZE_LIMIT: usize = 8 << 20;

/// Most syntax findings listed for one file; one more finding says that there are others.
pub const FINDING_LIMIT: usize = 200;
