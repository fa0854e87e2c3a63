//! What the module of WebAssembly exports: room for a question, asking, and where answer and numbers are.
//!
//! The page writes a question of `len` bytes where [`room`] says, calls [`ask`] and reads as many bytes as that says from
//! [`answer`]; then numbers from [`frame`]. One page, one machine: what is asked is kept for the thread.

#![allow(unsafe_code, reason = "to be found by its name, an export must not be renamed")]

use super::Live;
use std::cell::RefCell;

/// What is kept between two calls.
#[derive(Default)]
struct Desk {
    live: Live,
    question: Vec<u8>,
    answer: String,
}

thread_local! {
    static DESK: RefCell<Desk> = RefCell::new(Desk::default());
}

/// Makes room for a question of `len` bytes, and says where.
#[unsafe(no_mangle)]
pub extern "C" fn room(len: usize) -> *mut u8 {
    DESK.with_borrow_mut(|desk| {
        desk.question.clear();
        desk.question.resize(len, 0);
        desk.question.as_mut_ptr()
    })
}

/// Answers the question; returns the length of the answer.
#[unsafe(no_mangle)]
pub extern "C" fn ask() -> usize {
    DESK.with_borrow_mut(|desk| {
        let question = String::from_utf8_lossy(&desk.question);
        desk.answer = desk.live.ask(&question);
        desk.answer.len()
    })
}

/// Where the answer is.
#[unsafe(no_mangle)]
pub extern "C" fn answer() -> *const u8 {
    DESK.with_borrow(|desk| desk.answer.as_ptr())
}

/// Where the numbers of the moment are.
#[unsafe(no_mangle)]
pub extern "C" fn frame() -> *const f32 {
    DESK.with_borrow(|desk| desk.live.frame().as_ptr())
}

/// How many numbers there are.
#[unsafe(no_mangle)]
pub extern "C" fn frame_len() -> usize {
    DESK.with_borrow(|desk| desk.live.frame().len())
}
