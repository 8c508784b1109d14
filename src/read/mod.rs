//! Reading is decoding: evidence from many looks, joined into one legal state with a margin, or named faults.
