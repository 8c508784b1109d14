//! Colour: spaces, profiles (calibration), how likely each colour is for a patch, and judging the light.
