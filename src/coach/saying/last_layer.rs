//! The last layer, look by look. Colours of the layer are told by its top colour.

use crate::cube::{Colour, Face};
use crate::solve::LookGoal;

#[derive(Clone, Debug, PartialEq, Eq)]
pub enum TopSaying {
    OnlyTopIsLeft,
    LooksLeft(usize),
    /// The sides whose edges show the top colour on top.
    EdgesUp {
        top: Colour,
        sides: Vec<Face>,
    },
    /// The columns whose corners do.
    CornersUp {
        top: Colour,
        columns: Vec<[Face; 2]>,
    },
    /// The sides on which one or two other corners show it.
    CornersAside(Vec<(Face, Few)>),
    /// Sides on which both corners show one colour.
    Twins(Vec<Face>),
    /// A row is of one colour; where the edge across belongs.
    RowMatches {
        row: Face,
        edge: Face,
        home: Face,
    },
    NoEdgeFits {
        home: Face,
    },
    /// The colours of the top rows, side by side.
    Rows([(Face, [Colour; 3]); 4]),
    /// All is in order; where the front row belongs.
    InOrder(Face),
    /// What a case's turns are for.
    Aim {
        case: &'static str,
        goal: LookGoal,
        top: Colour,
    },
    WhatDoYouSee(Colour),
    LookAt(LookGoal, Colour),
    EachSideIsWhole,
}

/// How many of the corners on a side.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Few {
    One,
    Two,
}
