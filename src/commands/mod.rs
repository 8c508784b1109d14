//! One file a command: parse, call, print.
