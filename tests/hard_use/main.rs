//! What a hard-handed user, a small disk or a hasty Ctrl-C must not break.

mod corpus;
