//! Drawings: annotated pictures, nets and cubes, as SVG and PNG.
