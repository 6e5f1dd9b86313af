//! The extension service's table of allowable storage time of cereal grains, as a surface.
//!
//! Logarithms of days stand on a uniform grid of moisture (1 point) and temperature (10 °F) and are interpolated
//! bilinearly; rows the table does not print (21, 23, 25, 27, 29 %) are the means of their neighbours, which is what
//! bilinear interpolation between printed rows gives anyway.
//!
//! Thirteen cells are printed only as "more than 300 days": 14 % from 60 °F down, 15 % from 50, 16 % from 40, and 17 to
//! 20 % at 30. They are filled upwards with the rule printed with the table, half the time for each 10 °F warmer, but
//! never below 300.
//! Colder than 30 °F and warmer than 80 °F the same rule continues the surface. Drier than 14 % and wetter than 30 % the
//! edge is held: on the dry side that is cautious, on the wet side it is not, and callers flag it by the range.

use numerics::{Real, WIDTH};

/// Lowest moisture of the grid, percent wet basis.
const MOISTURE_FROM: f64 = 14.0;
/// Coldest column of the grid, °F; columns are 10 °F apart.
const FAHRENHEIT_FROM: f64 = 30.0;
const ROWS: usize = 17;
const COLUMNS: usize = 6;

/// ln(days); rows 14 to 30 % wet basis, columns 30 to 80 °F.
// The logarithms of 2 and 10 days stand among their neighbours as digits.
#[allow(clippy::approx_constant)]
#[rustfmt::skip]
static LOG_DAYS: [[f64; COLUMNS]; ROWS] = [
    [8.0709060887878188, 7.3777589082278725, 6.6846117276679271, 5.9914645471079817, 5.2983173665480363, 4.9416424226093039], // 14 %
    [7.5600804650218274, 6.866933284461882, 6.1737861039019366, 5.4806389233419912, 4.8283137373023015, 4.2484952420493594], // 15 %
    [6.8243736700430864, 6.131226489483141, 5.4380793089231956, 4.7874917427820458, 4.2484952420493594, 3.6888794541139363], // 16 %
    [6.3279367837291947, 5.6347896031692493, 4.8675344504555822, 4.3174881135363101, 3.8066624897703196, 2.9957322735539909], // 17 %
    [5.9914645471079817, 5.2983173665480363, 4.499809670330265, 3.912023005428146, 3.4011973816621555, 2.7080502011022101], // 18 %
    [5.7037824746562009, 4.9416424226093039, 4.2484952420493594, 3.5553480614894135, 2.9957322735539909, 2.3025850929940459], // 19 %
    [5.7037824746562009, 4.499809670330265, 3.912023005428146, 3.2188758248682006, 2.6390573296152584, 1.9459101490553132], // 20 %
    [5.4754032734083431, 4.2970771162761832, 3.6566101935451507, 2.9634630129852053, 2.3592494356475471, 1.5222612188617115], // 21 %
    [5.2470240721604862, 4.0943445622221004, 3.4011973816621555, 2.7080502011022101, 2.0794415416798357, 1.0986122886681098], // 22 %
    [5.0572792613080342, 3.8916120081680186, 3.0546237913821828, 2.5053176470481278, 1.9356005054539454, 0.89587973461402748], // 23 %
    [4.8675344504555822, 3.6888794541139363, 2.7080502011022101, 2.3025850929940459, 1.791759469228055, 0.69314718055994529], // 24 %
    [4.6836720603929241, 3.6221137578016749, 2.5964784254451052, 2.1910133173369406, 1.7005986908310775, 0.69314718055994529], // 25 %
    [4.499809670330265, 3.5553480614894135, 2.4849066497880004, 2.0794415416798357, 1.6094379124341003, 0.69314718055994529], // 26 %
    [4.3741524561898117, 3.4782727215757845, 2.3937458713910233, 2.0126758453675744, 1.4978661367769954, 0.69314718055994529], // 27 %
    [4.2484952420493594, 3.4011973816621555, 2.3025850929940459, 1.9459101490553132, 1.3862943611198906, 0.69314718055994529], // 28 %
    [4.1714199021357299, 3.310036603265178, 1.9560115027140732, 1.7776740307447068, 1.2424533248940002, 0.34657359027997264], // 29 %
    [4.0943445622221004, 3.2188758248682006, 1.6094379124341003, 1.6094379124341003, 1.0986122886681098, 0.0], // 30 %
];

/// Returns ln of the allowable days at a moisture (percent wet basis) and a temperature (°C).
#[inline(always)]
pub(crate) fn log_days<R: Real>(percent: R, t: R) -> R {
    let c = R::splat;
    let fahrenheit = t * c(1.8) + c(32.0);
    let row = (percent - c(MOISTURE_FROM)).clamp(c(0.0), c((ROWS - 1) as f64));
    let free = (fahrenheit - c(FAHRENHEIT_FROM)) * c(0.1);
    let column = free.clamp(c(0.0), c((COLUMNS - 1) as f64));
    let (mut rows, mut columns) = ([0.0; WIDTH], [0.0; WIDTH]);
    row.store(&mut rows[..R::LANES]);
    column.store(&mut columns[..R::LANES]);
    let mut inside = [0.0; WIDTH];
    for lane in 0..R::LANES {
        // A conversion of NaN gives 0 and the upper bound keeps the last cell closed, so no index can leave the grid.
        let i = (rows[lane] as usize).min(ROWS - 2);
        let j = (columns[lane] as usize).min(COLUMNS - 2);
        let (u, v) = (rows[lane] - i as f64, columns[lane] - j as f64);
        let low = LOG_DAYS[i][j] * (1.0 - v) + LOG_DAYS[i][j + 1] * v;
        let high = LOG_DAYS[i + 1][j] * (1.0 - v) + LOG_DAYS[i + 1][j + 1] * v;
        inside[lane] = low * (1.0 - u) + high * u;
    }
    R::load(&inside[..R::LANES]) - (free - column) * c(std::f64::consts::LN_2)
}
