//! Neither the solver nor the map allocates, whatever the outfit and however deep in stall.

mod common;
use common::*;
use equipment::*;
use std::alloc::{GlobalAlloc, Layout, System};
use std::cell::Cell;

struct Counting;

thread_local! {
    static COUNT: Cell<usize> = const { Cell::new(0) };
}

// SAFETY: every call goes to the system allocator unchanged.
unsafe impl GlobalAlloc for Counting {
    unsafe fn alloc(&self, layout: Layout) -> *mut u8 {
        COUNT.with(|c| c.set(c.get() + 1));
        // SAFETY: the caller keeps the contract of `alloc`.
        unsafe { System.alloc(layout) }
    }
    unsafe fn dealloc(&self, pointer: *mut u8, layout: Layout) {
        // SAFETY: the pointer came from `alloc` above.
        unsafe { System.dealloc(pointer, layout) }
    }
}

#[global_allocator]
static ALLOCATOR: Counting = Counting;

#[test]
fn solving_and_looking_up_allocate_nothing() {
    for (ids, arrangement) in [
        (vec!["demo-axial-10hp"], Arrangement::Parallel),
        (vec!["demo-inline-10hp"; 2], Arrangement::Series),
        (vec!["demo-axial-10hp", "demo-high-speed-10hp", "demo-centrifugal-5hp"], Arrangement::Parallel),
    ] {
        let system = system(&ids, arrangement, 27.0);
        let map = AirMap::new(&system, CORN, None);
        let before = COUNT.with(Cell::get);
        let mut sum = 0.0;
        for i in 0..200 {
            let depth = 0.2 * f64::from(i);
            sum += system.solve(&air(10.0, ids.len()), &corn(depth)).dry_air_flow;
            let query = MapQuery::new(10.0, 0.005, 101_325.0, 5.0, &Heat::NONE, depth, ids.len());
            sum += map.at(&query).dry_air_flow;
        }
        assert!(sum > 0.0);
        assert_eq!(COUNT.with(Cell::get), before, "{ids:?}");
    }
}
