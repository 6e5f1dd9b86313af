//! The layer equations, written once for any width of number.
//!
//! Per layer and step of length dt, with R = dry matter / (dry-air flux × dt) in kg of grain per kg of air:
//!
//! * water: W_out = W_in + R (M_old − M)
//! * energy: R (H_old − H(M, T)) = h(T, W_out) − h(T_in, W_in), the leaving air at grain temperature T; linear in T
//! * exchange: (M − M_old)/(dt s k_s) + drive = 0 with drive = (x − Me) when drying, r (x − (Me − gap)) when wetting, else 0;
//!   x is the new shell moisture, Me the equilibrium of the air the layer sees, W_in + θ (W_out − W_in) at T
//! * saturation: the leaving air never passes 100 % humidity; what would is left on the grain.
//!
//! Both residuals rise with x and the larger of their roots is the answer, so one Newton iteration, stepping to the larger
//! of the two estimates, finds it; the estimate of the exchange takes its bend along (Chebyshev). It begins where the last
//! step's drift leads, put right by how far that led astray in the layer before. A bracket guards it (x is too dry where
//! either residual is negative): a step that leaves it, or is late, halves it instead. Temperature follows from the
//! conserved enthalpy whatever x comes out, hence the balances close to rounding however loosely the root is found.
//!
//! Life used and respiration over a step are those of the state at its start.

use crate::block::{Air, Block, Exhaust};
use crate::params::{Direction, IsothermFamily, LaneParams, Respiration};
use crate::still;
use numerics::{BlockKernel, LANES, Mask, Real, WIDTH};
use physics::air::{
    MOLAR_MASS_RATIO, SPECIFIC_HEAT_DRY_AIR, SPECIFIC_HEAT_VAPOUR, VAPOUR_ENTHALPY_0C, ZERO_CELSIUS_K, enthalpy,
    ln_saturation_pressure,
};
use physics::isotherm::{
    Cromarty, HUMIDITY_FLOOR, Isotherm, ModifiedChungPfost, ModifiedHalsey, ModifiedHenderson, ModifiedOswin,
};
use physics::sorption::SorptionTerms;
use physics::storability::{self, ReadyStorageLaw};

/// Most steps for a layer; three or four suffice in ordinary drying, a cold flooded layer may take a dozen.
const MOST_STEPS: usize = 60;
/// From this step on every other one halves the bracket.
const LATE: usize = 8;
/// Steps below this change of moisture (d.b.) count as converged where the exchange rules and nothing switches; the error
/// left goes with its cube.
///
/// Measured over 28 autumns of corn against 1e-9 everywhere, at 2e-4 and at 4e-4 alike: mean moisture within 1.3e-7 (d.b.),
/// storage life used within 2e-5 of itself.
const CONVERGED: f64 = 3e-4;
/// The same where the exchange or the isotherm may switch to another branch within the step, or the air is near saturation.
const CONVERGED_NEAR_A_BRANCH: f64 = 1e-5;
/// The same where saturation rules or the bracket was halved.
const CONVERGED_TIGHT: f64 = 1e-7;
/// Leaving air wetter than this is near saturation.
const NEARLY_SATURATED: f64 = 0.97;
/// The same as [`CONVERGED`] for the change of the leaving air's humidity ratio. Little air over much grain is saturated or
/// dried by changes of moisture far below [`CONVERGED`].
const CONVERGED_AIR: f64 = 1.5e-4;
/// How much of a layer's surprise (its moisture less what its drift had led to) is expected of the next one: the air that
/// surprised it goes on. Measured over corn in 28 autumns: 0.6 to 1 serve alike, and halve the distance still to go.
const SHARED_SURPRISE: f64 = 0.8;
/// How much more the inverse of saturation pressure bends than the square of its slope says: 1 + 2/(T d ln p/dT), 1.10 to
/// 1.13 from -20 to 60 °C.
const SATURATION_BEND: f64 = 1.11;
/// Coldest temperature for which saturation is asked while searching, °C; air so cold is far past saturation either way.
const COLDEST: f64 = -100.0;
/// Largest change of shell moisture in one Newton step.
const LONGEST_STEP: f64 = 0.05;

/// One stretch of time for a block.
pub(crate) struct Tick<'a> {
    pub block: &'a mut Block,
    pub air: &'a Air,
    pub exhaust: &'a mut Exhaust,
}

impl Tick<'_> {
    /// Groups of lanes for which any time passes.
    pub fn busy(&self) -> [bool; WIDTH / LANES] {
        std::array::from_fn(|group| self.air.seconds[group * LANES..][..LANES].iter().any(|s| *s > 0.0))
    }
}

impl BlockKernel for Tick<'_> {
    #[inline(always)]
    fn run<R: Real>(&mut self, from: usize) {
        let (flux, seconds) = (&self.air.flux[from..][..R::LANES], &self.air.seconds[from..][..R::LANES]);
        let moves = flux.iter().zip(seconds).any(|(g, s)| g * s > 0.0);
        let rests = flux.iter().zip(seconds).any(|(g, s)| *g <= 0.0 && *s > 0.0);
        if rests {
            still::rest::<R>(self.block, self.air, self.exhaust, from);
        }
        if moves {
            let [a, b, c] = &self.block.lanes.isotherm;
            let (a, b, c) = (R::load(&a[from..]), R::load(&b[from..]), R::load(&c[from..]));
            match self.block.group.family {
                IsothermFamily::Henderson => self.sweep(ModifiedHenderson { a, b, c }, from),
                IsothermFamily::ChungPfost => self.sweep(ModifiedChungPfost { a, b, c }, from),
                IsothermFamily::Halsey => self.sweep(ModifiedHalsey { a, b, c }, from),
                IsothermFamily::Oswin => self.sweep(ModifiedOswin { a, b, c }, from),
                IsothermFamily::Cromarty => self.sweep(Cromarty { oil: a }, from),
            }
        }
    }
}

impl Tick<'_> {
    #[inline(always)]
    fn sweep<R: Real, I: Isotherm<R>>(&mut self, isotherm: I, from: usize) {
        sweep(self.block, self.air, self.exhaust, isotherm, from);
    }
}

/// Constants of a group of columns, spread over lanes once a step.
struct Spread<R> {
    share: R,
    limited: R,
    gap: R,
    rewetting: R,
    dry_heat: R,
    water_heat: R,
    cap: R,
    sees: R,
    sorption: SorptionTerms<R>,
}

impl<R: Real> Spread<R> {
    #[inline(always)]
    fn of(block: &Block, from: usize) -> Self {
        let p = &block.lanes;
        Self {
            share: R::load(&p.shell_share[from..]),
            limited: R::load(&p.limited[from..]),
            gap: R::load(&p.gap[from..]),
            rewetting: R::load(&p.rewetting[from..]),
            dry_heat: R::load(&p.dry_heat[from..]),
            water_heat: R::load(&p.water_heat[from..]),
            cap: R::load(&p.humidity_cap[from..]),
            sees: R::load(&p.air_sees[from..]),
            sorption: SorptionTerms::load(&block.sorption, from),
        }
    }
}

/// Rate of an Arrhenius law over lanes, 1/s.
#[inline(always)]
pub(crate) fn rate<R: Real>(ln_a: &[f64], b: &[f64], t: R) -> R {
    (R::load(ln_a) - R::load(b) / (t + R::splat(ZERO_CELSIUS_K))).exp()
}

/// Shell and core rates at a temperature, 1/s, of the lanes that begin with `from`.
#[inline(always)]
pub(crate) fn rates<R: Real>(p: &LaneParams, from: usize, t: R) -> (R, R) {
    (rate(&p.shell_ln_a[from..], &p.shell_b[from..], t), rate(&p.core_ln_a[from..], &p.core_b[from..], t))
}

/// Adds to a tally where the mask holds.
#[inline(always)]
pub(crate) fn tally<R: Real>(slot: &mut [f64], mask: R::Mask, amount: R) {
    let old = R::load(slot);
    R::select(mask, old + amount, old).store(slot);
}

/// Temperatures (°C) between which heat and water of respiration fade to nothing: what respires is killed by its own heat.
///
/// Judgement, without a source. The loss law grows with temperature for ever and grain at rest would pass any number;
/// life used is not faded, and the highest temperature met is reported.
const RESPIRATION_FADES: (f64, f64) = (50.0, 60.0);

/// What ageing does to a layer over a step, per kg of dry matter.
pub(crate) struct Aged<R> {
    /// Heat of respiration, J.
    pub heat: R,
    /// Water of respiration, kg.
    pub water: R,
    /// Equivalent time that passed, s.
    pub equivalent: R,
    /// Life used by the published relations.
    pub published: R,
    /// Life used by the strict relations.
    pub strict: R,
}

/// Relations by which grain ages, with what does not depend on its state worked out.
#[derive(Clone, Copy)]
pub(crate) struct Ageing<'a, R> {
    respiration: Option<R>,
    corn: bool,
    published: &'a [ReadyStorageLaw],
    strict: &'a [ReadyStorageLaw],
}

impl<'a, R: Real> Ageing<'a, R> {
    #[inline(always)]
    pub fn of(law: Respiration, published: &'a [ReadyStorageLaw], strict: &'a [ReadyStorageLaw]) -> Self {
        let respiration = match law {
            Respiration::None => None,
            Respiration::Corn { damage } => Some(R::splat(1.0 / storability::corn_damage_multiplier(damage))),
        };
        let corn = respiration.is_some() || published.iter().chain(strict).any(ReadyStorageLaw::is_of_corn);
        Self { respiration, corn, published, strict }
    }

    /// Ages a layer in the state it has at the start of a step: life used and respiration share what they ask of corn.
    ///
    /// `capacity` is the heat capacity per kg of dry matter, J/(kg K).
    #[inline(always)]
    pub fn over(&self, m: R, t: R, capacity: R, equivalent: R, seconds: R) -> Aged<R> {
        let zero = R::splat(0.0);
        let corn = if self.corn { R::splat(1.0) / storability::corn_multiplier(m, t) } else { zero };
        let published = fastest(self.published, m, t, corn) * seconds;
        let strict = fastest(self.strict, m, t, corn) * seconds;
        let Some(inverse_damage) = self.respiration else {
            return Aged { heat: zero, water: zero, equivalent: zero, published, strict };
        };
        let pace = corn * inverse_damage;
        let full = storability::corn_loss_rate(equivalent, pace) * seconds;
        // Faded by the temperature the step ends with: unfaded while it stays below the first, never past the second.
        let (fading, gone) = RESPIRATION_FADES;
        let rise = full * R::splat(storability::RESPIRATION_HEAT) / capacity;
        let alive = ((R::splat(gone) - t) / (R::splat(gone - fading) + rise)).clamp(zero, R::splat(1.0));
        let lost = alive * full;
        Aged {
            heat: lost * R::splat(storability::RESPIRATION_HEAT),
            water: lost * R::splat(storability::RESPIRATION_WATER),
            equivalent: pace * seconds,
            published,
            strict,
        }
    }
}

/// Fastest of several relations, life per second; zero when there is none.
#[inline(always)]
fn fastest<R: Real>(laws: &[ReadyStorageLaw], m: R, t: R, corn_pace: R) -> R {
    let mut fastest = R::splat(0.0);
    for law in laws {
        fastest = fastest.max(law.rate_given(m, t, corn_pace));
    }
    fastest
}

/// Air on: from the inlet side through all layers.
#[inline(always)]
fn sweep<R: Real, I: Isotherm<R>>(block: &mut Block, air: &Air, exhaust: &mut Exhaust, isotherm: I, from: usize) {
    let zero = R::splat(0.0);
    let one = R::splat(1.0);
    let p = Spread::<R>::of(block, from);
    let flux = R::load(&air.flux[from..]);
    let seconds = R::load(&air.seconds[from..]);
    let pressure = R::load(&air.pressure[from..]);
    let on = zero.lt(flux).and(zero.lt(seconds));
    // Resting lanes compute along with harmless numbers; nothing of them is kept.
    let dt = R::select(on, seconds, one);
    let passed = R::select(on, flux * seconds, one);
    let per_air = one / passed;
    let epsilon = R::splat(MOLAR_MASS_RATIO);
    let (hv0, cv, ca) = (R::splat(VAPOUR_ENTHALPY_0C), R::splat(SPECIFIC_HEAT_VAPOUR), R::splat(SPECIFIC_HEAT_DRY_AIR));

    let mut t_air = R::load(&air.temperature[from..]);
    let mut w_air = R::load(&air.humidity_ratio[from..]);
    let (t_inlet, w_inlet) = (t_air, w_air);
    let mut respired_heat = zero;
    let mut respired_water = zero;
    let mut surprise = zero;
    let (mut t_low, mut t_high) = (R::load(&block.tally.t_low[from..]), R::load(&block.tally.t_high[from..]));
    let (mut h_low, mut h_high) = (R::load(&block.tally.h_low[from..]), R::load(&block.tally.h_high[from..]));
    let (mut m_low, mut m_high) = (R::load(&block.tally.m_low[from..]), R::load(&block.tally.m_high[from..]));

    let ageing = Ageing::<R>::of(block.group.respiration, &block.published, &block.strict);
    let layers = block.group.layers;
    for step in 0..layers {
        let layer = match block.group.direction {
            Direction::Up => step,
            Direction::Down => layers - 1 - step,
        };
        let at = layer * WIDTH + from;
        let dry = R::load(&block.state.dry[at..]);
        let shell = R::load(&block.state.shell[at..]);
        let core = R::load(&block.state.core[at..]);
        let t_old = R::load(&block.state.temperature[at..]);
        let h_old = R::load(&block.state.enthalpy[at..]);
        let equivalent = R::load(&block.state.equivalent[at..]);
        let filled = on.and(zero.lt(dry));

        let ratio = dry * per_air;
        let moisture_before = p.share * shell + (one - p.share) * core;
        let capacity_before = p.dry_heat + p.water_heat * moisture_before;
        let aged = ageing.over(moisture_before, t_old, capacity_before, equivalent, dt);
        let m_old = moisture_before + aged.water;
        let h_start = h_old + aged.heat;

        // The core follows the shell linearly within the step, so mean moisture is α + β x.
        let (k_shell, k_core) = rates(&block.lanes, from, t_old);
        let pull = dt * k_core;
        let keep = one / (one + pull);
        let alpha = (one - p.share) * core * keep;
        let beta = p.share + (one - p.share) * pull * keep;
        let slowness = p.limited / (dt * p.share * k_shell);

        let h_in = enthalpy(t_air, w_air);
        // The air cannot give more water than it has.
        let x_top = (m_old + R::splat(0.999) * w_air / ratio.max(R::splat(1e-9)) - alpha) / beta;
        let longest = R::splat(LONGEST_STEP);
        let drift = R::load(&block.state.drift[at..]);
        let guess = shell + (drift * dt + R::splat(SHARED_SURPRISE) * surprise).clamp(-longest, longest);
        let mut x = guess.max(R::splat(1e-4)).min(x_top);
        let mut humidity = zero;
        let mut open = filled;
        let (mut too_dry, mut too_wet) = (R::splat(1e-4), x_top);
        let watched = one.max(ratio * beta * R::splat(CONVERGED / CONVERGED_AIR));
        for trial in 0..MOST_STEPS {
            let m = alpha + beta * x;
            let given = ratio * (m_old - m);
            let w_out = w_air + given;
            let (bound, bound_slope) = p.sorption.both(m);
            let capacity = ca + cv * w_out + ratio * (p.dry_heat + p.water_heat * m);
            let inverse = one / capacity;
            let t = (h_in - w_out * hv0 + ratio * (h_start + bound)) * inverse;
            let t_slope = ratio * (hv0 + bound_slope + t * (cv - p.water_heat)) * inverse;
            let (ln_ps, ps_slope) = ln_saturation_pressure(t.max(R::splat(COLDEST)));
            let ps_inverse = (-ln_ps).exp();

            let w_seen = w_air + p.sees * given;
            // One division serves both sums: dividing is the dearest arithmetic here.
            let (seen_sum, out_sum) = (epsilon + w_seen, epsilon + w_out);
            let inverse_sums = one / (seen_sum * out_sum);
            let (by_seen, by_out) = (inverse_sums * out_sum, inverse_sums * seen_sum);
            let scaled = pressure * ps_inverse;
            let phi = scaled * w_seen * by_seen;
            let low = R::splat(HUMIDITY_FLOOR);
            let held = phi.clamp(low, p.cap);
            let free = low.lt(phi).and(phi.lt(p.cap));
            let given_slope = ratio * epsilon * scaled;
            let seen_slope = p.sees * given_slope * by_seen * by_seen;
            let phi_slope = -(seen_slope + phi * ps_slope * t_slope);
            let e = isotherm.equilibrium(held, t);
            let me_slope = e.by_temperature * t_slope + R::select(free, e.by_humidity * phi_slope, zero);
            // Temperature and humidity ratio run all but straight with moisture; what bends is saturation and the isotherm.
            let ps_bend = ps_slope * t_slope;
            let phi_bend = R::splat(2.0) * seen_slope * (ps_bend - p.sees * ratio * by_seen)
                + R::splat(SATURATION_BEND) * phi * ps_bend * ps_bend;
            let by_phi = e.bend_humidity * phi_slope * phi_slope
                + e.by_humidity * phi_bend
                + R::splat(2.0) * e.bend_mixed * phi_slope * t_slope;
            let me_bend = e.bend_temperature * t_slope * t_slope + R::select(free, by_phi, zero);

            let over = x - e.moisture;
            let under = over + p.gap;
            let drying = zero.lt(over);
            let wetting = under.lt(zero);
            let drive = R::select(drying, over, R::select(wetting, p.rewetting * under, zero));
            let pace = R::select(drying, one, R::select(wetting, p.rewetting, zero));
            let exchange = (m - m_old) * slowness + drive;
            let exchange_slope = beta * slowness + pace * (one - beta * me_slope);

            let leaving = scaled * w_out * by_out;
            let saturation = one - leaving;
            let saturation_slope = beta * (given_slope * by_out * by_out + leaving * ps_slope * t_slope);

            // Newton's estimate of either root; the larger moisture is the one that holds. A flat exchange (inside the gap)
            // has residual zero and leaves the layer as it is.
            let tiny = R::splat(1e-12);
            let inverse_slope = one / exchange_slope.max(tiny);
            let straight = exchange * inverse_slope;
            // Chebyshev's term: with it the error left goes with the cube of the step.
            let bent = R::splat(-0.5) * pace * beta * beta * me_bend * inverse_slope * straight;
            let to_exchange = straight + straight * bent.clamp(R::splat(-0.3), R::splat(0.3));
            let to_saturation = saturation / saturation_slope.max(tiny);
            let change = to_exchange.min(to_saturation).clamp(-longest, longest);
            let dry_side = exchange.min(saturation).lt(zero);
            too_dry = R::select(dry_side, too_dry.max(x), too_dry);
            too_wet = R::select(dry_side, too_wet, too_wet.min(x));
            let newton = x - change;
            let inside = too_dry.le(newton).and(newton.le(too_wet));
            let half = R::splat(0.5) * (too_dry + too_wet);
            let halved = trial >= LATE && trial % 2 == 0;
            let next = if halved { half } else { R::select(inside, newton, half) };
            // The error a step leaves is about its cube, unless it halved the bracket or passes a point where a residual has
            // a corner; where saturation rules, the last digits count.
            let plain = if halved { one.lt(zero) } else { inside.and(to_exchange.le(to_saturation)) };
            let step = next - x;
            let ahead = step * (one - beta * me_slope);
            let (phi_room, leaving_ahead) = (phi - p.cap, leaving - saturation_slope * step);
            let smooth = zero
                .le(over * (over + ahead))
                .and(zero.le(under * (under + ahead)))
                .and(zero.le(phi_room * (phi_room + beta * phi_slope * step)))
                .and(leaving_ahead.lt(R::splat(NEARLY_SATURATED)));
            let moved = step.abs() * watched;
            let enough = R::select(smooth, R::splat(CONVERGED), R::splat(CONVERGED_NEAR_A_BRANCH));
            let enough = R::select(plain, enough, R::splat(CONVERGED_TIGHT));
            // Carried along the last step, and frozen with the lane: it must not depend on how long the others iterate.
            humidity = R::select(open, leaving_ahead, humidity);
            x = R::select(open, next, x);
            open = open.and(enough.lt(moved));
            if !open.any() {
                break;
            }
        }

        let m = alpha + beta * x;
        let w_out = w_air + ratio * (m_old - m);
        let (bound, _) = p.sorption.both(m);
        let capacity = ca + cv * w_out + ratio * (p.dry_heat + p.water_heat * m);
        let t = (h_in - w_out * hv0 + ratio * (h_start + bound)) / capacity;
        let h_new = (p.dry_heat + p.water_heat * m) * t - bound;
        let core_new = (core + pull * x) * keep;

        let published = R::load(&block.state.published[at..]);
        let strict = R::load(&block.state.strict[at..]);
        R::select(filled, published + aged.published, published).store(&mut block.state.published[at..]);
        R::select(filled, strict + aged.strict, strict).store(&mut block.state.strict[at..]);
        R::select(filled, equivalent + aged.equivalent, equivalent).store(&mut block.state.equivalent[at..]);
        surprise = R::select(filled, x - guess, surprise);
        R::select(filled, (x - shell) / dt, drift).store(&mut block.state.drift[at..]);
        R::select(filled, x, shell).store(&mut block.state.shell[at..]);
        R::select(filled, core_new, core).store(&mut block.state.core[at..]);
        R::select(filled, h_new, h_old).store(&mut block.state.enthalpy[at..]);
        R::select(filled, t, t_old).store(&mut block.state.temperature[at..]);
        respired_heat = respired_heat + R::select(filled, dry * aged.heat, zero);
        respired_water = respired_water + R::select(filled, dry * aged.water, zero);

        t_low = R::select(filled, t_low.min(t), t_low);
        t_high = R::select(filled, t_high.max(t), t_high);
        h_low = R::select(filled, h_low.min(humidity), h_low);
        h_high = R::select(filled, h_high.max(humidity), h_high);
        m_low = R::select(filled, m_low.min(m), m_low);
        m_high = R::select(filled, m_high.max(m), m_high);
        t_air = R::select(filled, t, t_air);
        w_air = R::select(filled, w_out, w_air);
    }

    t_low.store(&mut block.tally.t_low[from..]);
    t_high.store(&mut block.tally.t_high[from..]);
    h_low.store(&mut block.tally.h_low[from..]);
    h_high.store(&mut block.tally.h_high[from..]);
    m_low.store(&mut block.tally.m_low[from..]);
    m_high.store(&mut block.tally.m_high[from..]);
    let water = passed * (w_air - w_inlet);
    let energy = passed * (enthalpy(t_air, w_air) - enthalpy(t_inlet, w_inlet));
    tally(&mut block.tally.water_to_air[from..], on, water);
    tally(&mut block.tally.water_moved[from..], on, water.abs());
    tally(&mut block.tally.energy_to_air[from..], on, energy);
    tally(&mut block.tally.energy_moved[from..], on, energy.abs());
    tally(&mut block.tally.respired_energy[from..], on, respired_heat);
    tally(&mut block.tally.respired_water[from..], on, respired_water);
    R::select(on, t_air, R::load(&exhaust.temperature[from..])).store(&mut exhaust.temperature[from..]);
    R::select(on, w_air, R::load(&exhaust.humidity_ratio[from..])).store(&mut exhaust.humidity_ratio[from..]);
}
