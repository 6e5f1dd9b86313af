#![no_main]
//! Any text as a case file of a column; a table it names is the same text.
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    match job::column::read("fuzzed.toml", text, &|_| Ok(text.to_string())) {
        Ok(job) => {
            let case = job.case;
            assert!(case.depth > 0.0 && case.dry_density > 0.0 && case.moisture > 0.0 && case.temperature.is_finite());
            assert!(case.inlet.iter().all(|step| step.flux >= 0.0 && step.humidity_ratio >= 0.0));
        }
        Err(wrong) => assert!(wrong.stop()),
    }
});
