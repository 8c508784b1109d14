//! Search: pruning tables, the cross, one pair with things to keep, all pairs, the last layer.
