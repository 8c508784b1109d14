//! The loop: frames in, events out; what is known of the cube so far.
