//! Three-dimensional normal distributions: just what fitting a light and judging a colour need.

/// A vector of three.
pub(super) type Vector = [f64; 3];

/// A symmetric positive definite 3x3 matrix: a covariance or its inverse.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Spread(pub [[f64; 3]; 3]);

impl Spread {
    /// A covariance without correlations, from the three variances.
    pub fn diagonal(variances: Vector) -> Spread {
        let mut m = [[0.0; 3]; 3];
        for (i, v) in variances.into_iter().enumerate() {
            m[i][i] = v;
        }
        Spread(m)
    }

    /// The same variance in every direction.
    pub fn even(variance: f64) -> Spread {
        Spread::diagonal([variance; 3])
    }

    /// Adds `weight * v vᵀ`: variance along one direction.
    pub fn add_along(&mut self, v: &Vector, weight: f64) {
        for (row, a) in self.0.iter_mut().zip(v) {
            for (cell, b) in row.iter_mut().zip(v) {
                *cell += weight * a * b;
            }
        }
    }

    /// Adds another covariance `weight` times.
    pub fn add(&mut self, other: &Spread, weight: f64) {
        for (row, from) in self.0.iter_mut().zip(&other.0) {
            for (cell, x) in row.iter_mut().zip(from) {
                *cell += weight * x;
            }
        }
    }

    /// `D M D` for a diagonal `D`: the covariance after each axis is scaled.
    pub fn scaled(&self, by: &Vector) -> Spread {
        let mut m = self.0;
        for (row, a) in m.iter_mut().zip(by) {
            for (cell, b) in row.iter_mut().zip(by) {
                *cell *= a * b;
            }
        }
        Spread(m)
    }

    /// `M v`.
    pub fn times(&self, v: &Vector) -> Vector {
        self.0
            .map(|row| row.iter().zip(v).map(|(a, b)| a * b).sum())
    }

    /// The determinant, positive for a positive definite matrix.
    pub fn determinant(&self) -> f64 {
        let [[a, b, c], [_, d, e], [_, _, f]] = self.0;
        a * (d * f - e * e) - b * (b * f - c * e) + c * (b * e - c * d)
    }

    /// The inverse, by cofactors.
    pub fn inverse(&self) -> Spread {
        let [[a, b, c], [_, d, e], [_, _, f]] = self.0;
        let scale = 1.0 / self.determinant();
        let (aa, bb, cc) = (d * f - e * e, c * e - b * f, b * e - c * d);
        let (dd, ee, ff) = (a * f - c * c, b * c - a * e, a * d - b * b);
        Spread([[aa, bb, cc], [bb, dd, ee], [cc, ee, ff]].map(|row| row.map(|x| x * scale)))
    }
}

/// Inner product.
pub(super) fn dot(a: &Vector, b: &Vector) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn the_inverse_undoes_the_matrix(
            v in prop::array::uniform3(-2.0..2.0f64),
            u in prop::array::uniform3(-2.0..2.0f64),
            d in prop::array::uniform3(0.05..3.0f64),
            x in prop::array::uniform3(-5.0..5.0f64),
        ) {
            let mut m = Spread::diagonal(d);
            m.add_along(&v, 1.5);
            m.add_along(&u, 0.5);
            let back = m.inverse().times(&m.times(&x));
            for (a, b) in back.iter().zip(x) {
                prop_assert!((a - b).abs() < 1e-6);
            }
            prop_assert!((m.determinant() * m.inverse().determinant() - 1.0).abs() < 1e-9);
        }
    }
}
