#![no_main]

libfuzzer_sys::fuzz_target!(|input: &[u8]| checks::targets::drive("readings_text", input));
