//! The local page that a learner looks at.
