//! What number is "40 psi", and how is it shown?
