//! What a person is told: the situation of a pair, routes with reasons, hints, the next pair, following along.
