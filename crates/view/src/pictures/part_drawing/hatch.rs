//! Thin lines at 45° over metal that is cut open (ISO 128-50).

/// Distance between two lines.
const APART: f64 = 7.0;

/// The lines within closed loops; where loops lie in each other, every other one is a hole.
pub(super) fn lines(loops: &[Vec<[f64; 2]>]) -> Vec<[f64; 4]> {
    let all = || loops.iter().flatten();
    // Along the lines x + y is what it is; across them it goes up.
    let along = |at: &[f64; 2]| at[0] + at[1];
    let least = all().map(along).fold(f64::INFINITY, f64::min);
    let most = all().map(along).fold(f64::NEG_INFINITY, f64::max);
    if !(least.is_finite() && most.is_finite()) {
        return Vec::new();
    }
    let step = APART * std::f64::consts::SQRT_2;
    let count = ((most - least) / step) as u32;
    let mut lines = Vec::new();
    for index in 0..=count {
        let sum = least + step * (f64::from(index) + 0.5);
        let mut xs: Vec<f64> = loops.iter().flat_map(|points| crossings(points, sum)).collect();
        xs.sort_by(f64::total_cmp);
        for pair in xs.chunks_exact(2) {
            lines.push([pair[0], sum - pair[0], pair[1], sum - pair[1]]);
        }
    }
    lines
}

/// Where the line x + y = `sum` crosses a closed loop.
fn crossings(points: &[[f64; 2]], sum: f64) -> Vec<f64> {
    let next = points.iter().cycle().skip(1);
    let edges = points.iter().zip(next);
    let crossing = |(from, to): (&[f64; 2], &[f64; 2])| {
        let (one, other) = (from[0] + from[1] - sum, to[0] + to[1] - sum);
        ((one < 0.0) != (other < 0.0)).then(|| from[0] + (to[0] - from[0]) * one / (one - other))
    };
    edges.filter_map(crossing).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The lines of a square with a square hole are as long, times their distance, as its area.
    #[test]
    fn lines_cover_the_metal_and_leave_the_hole() {
        let square = |from: f64, to: f64| vec![[from, from], [to, from], [to, to], [from, to]];
        let lines = lines(&[square(0.0, 700.0), square(200.0, 400.0)]);
        let long: f64 = lines.iter().map(|at| libm::hypot(at[2] - at[0], at[3] - at[1])).sum();
        let area = long * APART;
        assert!((area / (700.0 * 700.0 - 200.0 * 200.0) - 1.0).abs() < 0.01, "{area}");
        for [x1, y1, x2, y2] in lines {
            let (x, y) = (f64::midpoint(x1, x2), f64::midpoint(y1, y2));
            let hole = (200.0..400.0).contains(&x) && (200.0..400.0).contains(&y);
            assert!(!hole && (0.0..=700.0).contains(&x) && (0.0..=700.0).contains(&y));
        }
    }
}
