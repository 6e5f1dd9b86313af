//! Air off: heat moves by conduction along the column and to the wall, water moves between shell and core only.
//!
//! One thermal node stands for the wall: the bulk loses heat to it in proportion to its excess over the outside air (the
//! first mode of a cylinder). Sun on the wall, natural convection and moisture migration are not in it: no figures for a
//! warm spring follow from this (a remark says so).

use crate::block::{Air, Block, Exhaust};
use crate::kernel::{Ageing, rates, tally};
use crate::params::Direction;
use numerics::{Mask, Real, WIDTH, tridiagonal};
use physics::air::{humidity_ratio, saturation_pressure};
use physics::sorption::SorptionTerms;

/// Carries the resting ones of the lanes that begin with `from` through their stretch of time; the others are untouched.
#[inline(always)]
pub(crate) fn rest<R: Real>(block: &mut Block, air: &Air, exhaust: &mut Exhaust, from: usize) {
    let zero = R::splat(0.0);
    let one = R::splat(1.0);
    let seconds = R::load(&air.seconds[from..]);
    let off = R::load(&air.flux[from..]).le(zero).and(zero.lt(seconds));
    let dt = R::select(off, seconds, one);
    let outside = R::load(&air.outside[from..]);
    let p = &block.lanes;
    let share = R::load(&p.shell_share[from..]);
    let dry_heat = R::load(&p.dry_heat[from..]);
    let water_heat = R::load(&p.water_heat[from..]);
    let conductivity = R::load(&p.conductivity[from..]);
    let wall = R::load(&p.wall[from..]);
    let inverse_density = one / R::load(&p.dry_density[from..]);
    let sorption: SorptionTerms<R> = SorptionTerms::load(&block.sorption, from);
    let layers = block.group.layers;
    let [low, mid, high, right] = &mut block.scratch;
    let ageing = Ageing::<R>::of(block.group.respiration, &block.published, &block.strict);

    let mut respired_heat = zero;
    let mut respired_water = zero;
    for layer in 0..layers {
        let at = layer * WIDTH + from;
        // The system to solve stands without the other lanes between its rows.
        let row = layer * R::LANES;
        let dry = R::load(&block.state.dry[at..]);
        let filled = off.and(zero.lt(dry));
        let shell = R::load(&block.state.shell[at..]);
        let core = R::load(&block.state.core[at..]);
        let t = R::load(&block.state.temperature[at..]);
        let before = share * shell + (one - share) * core;
        let equivalent = R::load(&block.state.equivalent[at..]);
        let aged = ageing.over(before, t, dry_heat + water_heat * before, equivalent, dt);
        let m = before + aged.water;

        // Shell and core approach their common mean; exact for constant rates. The water of respiration stays in both.
        let (_, k_core) = rates(&block.lanes, from, t);
        let meet = (-(dt * k_core / share)).exp();
        let shell_new = m + (shell - before) * meet;
        let core_new = m + (core - before) * meet;
        R::select(filled, shell_new, shell).store(&mut block.state.shell[at..]);
        R::select(filled, core_new, core).store(&mut block.state.core[at..]);
        let published = R::load(&block.state.published[at..]);
        let strict = R::load(&block.state.strict[at..]);
        R::select(filled, published + aged.published, published).store(&mut block.state.published[at..]);
        R::select(filled, strict + aged.strict, strict).store(&mut block.state.strict[at..]);
        R::select(filled, equivalent + aged.equivalent, equivalent).store(&mut block.state.equivalent[at..]);
        respired_heat = respired_heat + R::select(filled, dry * aged.heat, zero);
        respired_water = respired_water + R::select(filled, dry * aged.water, zero);

        let (bound, _) = sorption.both(m);
        let h_old = R::load(&block.state.enthalpy[at..]);
        let capacity = R::select(filled, dry * (dry_heat + water_heat * m), one);
        let depth = dry * inverse_density;
        let leak = R::select(filled, wall * depth * dt, zero);
        // Conductance to the layer below, through half of each; nothing through an empty slot.
        let below = if layer == 0 { zero } else { R::load(&block.state.dry[at - WIDTH..]) };
        let joined = filled.and(zero.lt(below));
        let path = R::splat(0.5) * (depth + below * inverse_density);
        let link = R::select(joined, conductivity * dt / R::select(joined, path, one), zero);
        let start = R::select(filled, dry * (h_old + aged.heat + bound), R::load(&block.state.temperature[at..]));
        (-link).store(&mut low[row..]);
        if layer > 0 {
            (-link).store(&mut high[row - R::LANES..]);
            (R::load(&mid[row - R::LANES..]) + link).store(&mut mid[row - R::LANES..]);
        }
        (capacity + leak + link).store(&mut mid[row..]);
        (start + leak * outside).store(&mut right[row..]);
        if layer + 1 == layers {
            zero.store(&mut high[row..]);
        }
    }
    tridiagonal::solve::<R>(layers, low, mid, high, right);

    let mut to_wall = zero;
    let mut t_low = R::load(&block.tally.t_low[from..]);
    let mut t_high = R::load(&block.tally.t_high[from..]);
    for layer in 0..layers {
        let at = layer * WIDTH + from;
        let dry = R::load(&block.state.dry[at..]);
        let filled = off.and(zero.lt(dry));
        let t = R::load(&right[layer * R::LANES..]);
        let t_old = R::load(&block.state.temperature[at..]);
        let h_old = R::load(&block.state.enthalpy[at..]);
        let m = share * R::load(&block.state.shell[at..]) + (one - share) * R::load(&block.state.core[at..]);
        let (bound, _) = sorption.both(m);
        let h_new = (dry_heat + water_heat * m) * t - bound;
        R::select(filled, h_new, h_old).store(&mut block.state.enthalpy[at..]);
        R::select(filled, t, t_old).store(&mut block.state.temperature[at..]);
        to_wall = to_wall + R::select(filled, wall * dry * inverse_density * dt * (t - outside), zero);
        t_low = R::select(filled, t_low.min(t), t_low);
        t_high = R::select(filled, t_high.max(t), t_high);
    }
    t_low.store(&mut block.tally.t_low[from..]);
    t_high.store(&mut block.tally.t_high[from..]);
    tally(&mut block.tally.energy_to_wall[from..], off, to_wall);
    tally(&mut block.tally.energy_moved[from..], off, to_wall.abs());
    tally(&mut block.tally.respired_energy[from..], off, respired_heat);
    tally(&mut block.tally.respired_water[from..], off, respired_water);

    let outlet = match block.group.direction {
        Direction::Up => (layers - 1) * WIDTH + from,
        Direction::Down => from,
    };
    let t = R::load(&block.state.temperature[outlet..]);
    let pressure = R::load(&air.pressure[from..]);
    // The air between resting kernels is in equilibrium with them; saturation bounds it, which is all the caller may use.
    let w = humidity_ratio(pressure, saturation_pressure(t));
    R::select(off, t, R::load(&exhaust.temperature[from..])).store(&mut exhaust.temperature[from..]);
    R::select(off, w, R::load(&exhaust.humidity_ratio[from..])).store(&mut exhaust.humidity_ratio[from..]);
}
