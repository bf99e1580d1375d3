//! How likely a phrase is to be a move played, a side line, a repetition, or only talk.

use super::search::Mode;
use super::weights::Weights;
use super::words::{Form, Person, Phrase, Spec, Talk};

/// The prices of a phrase's readings.
#[derive(Clone, Copy, Debug, Default)]
pub struct Prices {
    pub play: f32,
    pub branch: f32,
    pub aside: f32,
    pub echo: f32,
    /// Of the words themselves.
    pub words: f32,
}

/// One phrase in twenty leaves the board at hand.
const USUAL_LEAVING: f32 = 3.0;

/// The prices of a phrase from its form and its cues, in a line of a kind; `rough` as of the talk.
pub fn prices(w: &Weights, phrase: &Phrase, spec: &Spec, mode: Mode, rough: f32) -> Prices {
    let cues = &phrase.cues;
    let (mut play, mut aside) = by_form(w, phrase, spec);
    let mut echo = if spec.full() {
        w.echo_full
    } else {
        w.echo_part
    };
    let mut branch = play + w.branch;
    if cues.supposed {
        echo += w.supposed_echo;
        branch = play;
        if mode == Mode::Shown {
            play += w.supposed_play;
        }
        aside += w.supposed_aside;
    } else if cues.modal {
        branch = play + w.modal_branch;
        play += w.modal_play;
        aside = aside.min(w.modal_aside);
    }
    if cues.infinitive {
        branch = branch.min(play + w.infinitive_branch);
        play += w.infinitive_play;
        aside = aside.min(w.infinitive_aside);
    }
    if cues.intent {
        branch = play + w.intent_branch;
        play += w.intent_play;
        aside = aside.min(w.intent_aside);
    }
    if cues.negated {
        branch = play + w.negated_branch;
        play += w.negated_play;
        aside = aside.min(w.negated_aside);
    }
    let tells = cues.side.is_some() || (cues.person != Person::None && cues.played);
    if tells && spec.full() && !(cues.reason || cues.standing || cues.paired) {
        aside += w.tells_aside; // "Black brings the bishop to f5" tells of a move
    }
    if cues.paired {
        aside = aside.min(w.paired_aside);
    }
    if cues.repeated {
        aside = aside.min(w.repeated_aside);
    }
    if cues.unreal && !cues.supposed && phrase.form == Form::Placed {
        aside = 0.0;
        play += w.unreal_play;
    }
    if cues.instead_of {
        play += w.instead_play;
        branch += w.instead_branch;
        aside = aside.min(w.instead_aside);
    }
    let names_a_move = matches!(
        phrase.form,
        Form::Full | Form::Square | Form::Capture | Form::Notation
    );
    if cues.back == 2 && names_a_move && !cues.standing {
        aside += w.back_aside;
    }
    if cues.after {
        echo += w.after_echo;
    } else if cues.played && tells {
        echo += w.played_echo;
    }
    let cut = if phrase.cut { w.cut } else { 0.0 };
    let told_play = if phrase.form == Form::Clause {
        w.told_clause
    } else {
        w.told_play
    };
    let (told, not_told) = (told_play * less(phrase.told), less(-phrase.told));
    Prices {
        play: told + w.cued_play * play + cut,
        branch: told + w.cued_play * play + (branch - play) + cut,
        aside: w.told_aside * not_told
            + w.cued_aside * aside * (1.0 - w.noisy_aside * rough).max(0.0)
            + cut,
        echo: echo.max(0.1) + w.told_echo * not_told + cut,
        words: w.words_price * phrase.price,
    }
}

/// What it costs that the words are of a move made before, wherever it was.
pub fn elsewhere(w: &Weights, phrase: &Phrase) -> f32 {
    w.words_price * phrase.price + w.told_echo * less(-phrase.told) + leaving(w, phrase)
}

/// What leaving the board at hand costs by the words around, against the usual.
pub fn leaving(w: &Weights, phrase: &Phrase) -> f32 {
    w.told_leave * (less(phrase.leaves) - USUAL_LEAVING)
}

/// What staying on the board at hand costs by the words around.
pub fn staying(w: &Weights, phrase: &Phrase) -> f32 {
    w.told_stay * less(-phrase.leaves)
}

/// Minus the log of the chance that log odds stand for.
fn less(odds: f32) -> f32 {
    (-odds).exp().ln_1p()
}

fn by_form(w: &Weights, phrase: &Phrase, spec: &Spec) -> (f32, f32) {
    let cues = &phrase.cues;
    match phrase.form {
        Form::Notation if cues.reason => (0.0, w.notation_aside_reason),
        Form::Notation => (0.0, w.notation_aside),
        Form::Full if cues.reason => (w.full_reason_play, w.full_reason_aside),
        Form::Full if spec.pieces.is_empty() && spec.free => (w.full_free_play, w.full_free_aside),
        Form::Full if spec.pieces.is_empty() => (0.0, w.full_aside_bare),
        Form::Full if phrase.verb => (0.0, w.full_aside_verb),
        Form::Full => (0.0, w.full_aside),
        Form::Placed if cues.standing => (w.placed_standing_play, 0.0),
        Form::Placed => (w.placed_play, w.placed_aside),
        Form::Square if cues.standing => (w.square_standing_play, 0.0),
        Form::Square if cues.played || cues.side.is_some() || cues.listed => {
            (0.0, w.square_told_aside)
        }
        Form::Square => (w.square_play, w.square_aside),
        Form::Castling if cues.gerund => (w.castling_gerund_play, w.castling_gerund_aside),
        Form::Castling => (0.0, w.castling_aside),
        Form::Capture => captured(w, phrase, spec),
        Form::Trade | Form::Both if cues.gerund || cues.infinitive => {
            (w.trade_play, w.trade_gerund_aside)
        }
        Form::Trade | Form::Both => (w.trade_play, w.trade_aside),
        Form::Vague if definite(spec) => (w.vague_play, w.square_aside),
        Form::Vague if spec.capture => (w.vague_play, w.capture_bare_aside),
        Form::Vague => (w.vague_play, w.vague_aside),
        Form::Clause => (0.0, 0.0),
    }
}

/// Whether words without a square still mean one move: "does the same", "offers the c-pawn".
fn definite(spec: &Spec) -> bool {
    spec.mirror || spec.from_file.is_some() || spec.castling.is_some()
}

fn captured(w: &Weights, phrase: &Phrase, spec: &Spec) -> (f32, f32) {
    let cues = &phrase.cues;
    if cues.gerund {
        (w.capture_gerund_play, w.capture_gerund_aside)
    } else if cues.reason {
        (w.capture_reason_play, w.capture_reason_aside)
    } else if !spec.targets.is_empty() || spec.captured.is_some() {
        (0.0, w.capture_target_aside)
    } else if !spec.pieces.is_empty() || cues.side.is_some() {
        (0.0, w.capture_piece_aside)
    } else if cues.person != Person::None {
        (w.capture_bare_play, w.capture_person_aside)
    } else {
        (w.capture_bare_play, w.capture_bare_aside)
    }
}

/// What it costs to make nothing at all of a phrase's words.
pub fn skip(w: &Weights, phrase: &Phrase, spec: &Spec, talk: &Talk) -> f32 {
    if phrase.cut || phrase.covered {
        return 0.0;
    }
    let full = match phrase.form {
        Form::Notation => w.skip_notation,
        Form::Full => w.skip_full,
        Form::Placed => w.skip_placed,
        Form::Square => w.skip_square,
        Form::Castling => w.skip_castling,
        Form::Capture if spec.full() || spec.captured.is_some() => w.skip_capture,
        Form::Capture if phrase.cues.side.is_some() || !spec.pieces.is_empty() => {
            w.skip_capture_piece
        }
        Form::Capture => w.skip_capture_bare,
        Form::Trade | Form::Both => w.skip_trade,
        Form::Vague if definite(spec) => w.skip_capture_piece,
        Form::Vague if spec.capture => w.skip_capture_bare,
        Form::Vague => w.skip_vague,
        Form::Clause => 0.0,
    };
    let full = w.told_skip * less(-phrase.told) + w.cued_skip * full;
    let full = full * (1.0 - w.noisy_skip * talk.rough()).max(0.0);
    let heard = |guesses: Option<f32>| guesses.unwrap_or(0.0);
    let misheard = heard(spec.targets.first().map(|&(_, price)| price))
        + heard(spec.pieces.first().map(|&(_, price)| price));
    let odd = phrase.price + misheard;
    if odd <= ODD {
        return full;
    }
    let hints = matches!(
        phrase.form,
        Form::Vague | Form::Trade | Form::Both | Form::Placed
    );
    // words that tell no move need not be misheard: nothing is lost by making nothing of them, unless
    // the recogniser errs often
    let likely = if hints && misheard <= ODD {
        1.0
    } else {
        1.0 / (1.0 + (w.skip_misheard - phrase.told).exp())
    };
    let likely = likely.max(talk.rough().min(1.0));
    let most = if talk.noisy() {
        w.skip_odd_noisy
    } else {
        w.skip_odd
    };
    (full * (1.0 - odd / most) * likely).max(0.0)
}

/// Words read at more than this may not be what they seem.
const ODD: f32 = 0.6;
