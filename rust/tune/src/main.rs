//! The engine's workshop.
mod weights;

const WEIGHTS_FILE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../core/src/engine/weights.rs");

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    match arguments.first().map(String::as_str) {
        Some("start") => {
            let text = weights::source(&weights::textbook(), "Not fitted yet: the start.");
            std::fs::write(WEIGHTS_FILE, text).expect("weights.rs can be written");
        }
        Some("uci") => {
            let input = std::io::stdin().lock();
            linewright_core::engine::uci::run(input, std::io::stdout()).expect("the pipe holds");
        }
        _ => eprintln!("linewright-tune start"),
    }
    let _ = weights::compiled;
}
