//! One phase at unit rate.

/// A phase simulated.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Run {}
