//! Why two days cannot be compared.

/// Why two days cannot be compared.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum RecheckError {
    /// Two surveys that are not of the same marks, or do not hang together.
    #[error("the two surveys cannot be compared: {0}")]
    Unlike(String),
}
