//! One stretch of text between two game starts: tags, moves, comments, side lines, results.

use memchr::{memchr, memchr_iter};
use shakmaty::{Chess, Position};

use super::columns::Played;
use super::resolve::{label, number_fits, resolve};
use super::{BOM, Found, Remark};
use crate::games::Outcome;
use crate::games::moves;
use crate::games::tags::{Tags, text};
use crate::key::position_of;

/// A game in the making.
#[derive(Default)]
struct Draft {
    begin: usize,
    tags: Tags,
    position: Chess,
    played: Played,
    marker: Option<Outcome>,
    fault: Option<(usize, String)>,
    remarks: Vec<(usize, String)>,
    depth: usize,
    opened: usize,
    in_moves: bool,
    misnumbered: bool,
}

impl Draft {
    fn fail(&mut self, at: usize, reason: String) {
        if self.fault.is_none() {
            self.fault = Some((at, reason));
        }
    }

    /// Notes a remark; the same one once a game.
    fn remark(&mut self, at: usize, reason: &str) {
        if !self.remarks.iter().any(|(_, known)| known == reason) {
            self.remarks.push((at, reason.to_owned()));
        }
    }

    fn is_empty(&self) -> bool {
        self.tags.is_empty() && !self.in_moves
    }
}

pub(super) struct Piece<'a> {
    text: &'a [u8],
    at: usize,
    first_line: u64,
    keep_to_fault: bool,
}

impl<'a> Piece<'a> {
    pub fn new(text: &'a [u8], first_line: u64, keep_to_fault: bool) -> Self {
        Self {
            text,
            at: 0,
            first_line,
            keep_to_fault,
        }
    }

    /// Reads every game of the piece into `found`.
    pub fn read(mut self, found: &mut Found) {
        let mut draft = Draft::default();
        while self.at < self.text.len() {
            if self.step(&mut draft) {
                self.close(std::mem::take(&mut draft), found);
            }
        }
        self.close(draft, found);
    }

    /// Takes one token; true when the game is over before the place now reached.
    fn step(&mut self, draft: &mut Draft) -> bool {
        let byte = self.text[self.at];
        match byte {
            b' ' | b'\t' | b'\n' | b'\r' | 0x0b | 0x0c => self.at += 1,
            0xef if self.text[self.at..].starts_with(BOM) => self.at += BOM.len(),
            b'%' if self.line_begins() => self.skip_line(),
            b'[' if self.line_begins() && (draft.depth == 0 || self.tag_ahead()) => {
                if draft.in_moves {
                    return true;
                }
                self.tag(draft);
            }
            _ => {
                if draft.is_empty() {
                    draft.begin = self.at;
                }
                if !draft.in_moves {
                    self.open(draft);
                }
                return self.movetext(byte, draft);
            }
        }
        false
    }

    fn line_begins(&self) -> bool {
        let before = &self.text[..self.at];
        let before = before.strip_suffix(BOM).unwrap_or(before);
        before.last().is_none_or(|&b| b == b'\n' || b == b'\r')
    }

    fn tag_ahead(&self) -> bool {
        let line = self.rest_of_line();
        line.len() > 4 && line[1].is_ascii_alphabetic() && line.contains(&b'"')
    }

    fn rest_of_line(&self) -> &'a [u8] {
        let rest = &self.text[self.at..];
        let end = memchr::memchr2(b'\n', b'\r', rest).unwrap_or(rest.len());
        &rest[..end]
    }

    fn skip_line(&mut self) {
        self.at += self.rest_of_line().len();
    }

    fn tag(&mut self, draft: &mut Draft) {
        if draft.is_empty() {
            draft.begin = self.at;
        }
        let line = self.rest_of_line();
        let name_end = line[1..]
            .iter()
            .position(|b| !(b.is_ascii_alphanumeric() || *b == b'_'));
        let name_end = name_end.map_or(line.len(), |n| n + 1);
        let name = &line[1..name_end];
        let opened = memchr(b'"', line);
        let Some(opened) = opened.filter(|_| !name.is_empty()) else {
            draft.remark(self.at, "a line in brackets is no tag: left out");
            self.at += line.len().max(1);
            return;
        };
        let value = &line[opened + 1..];
        let closed = closing_quote(value);
        if closed.is_none() {
            draft.remark(
                self.at,
                &format!("the value of tag {} has no closing quote", text(name)),
            );
        }
        let end = closed.unwrap_or_else(|| {
            value
                .iter()
                .rposition(|&b| b == b']')
                .unwrap_or(value.len())
        });
        if let Some(remark) = draft.tags.take(name, &value[..end]) {
            draft.remark(self.at, &remark);
        }
        if std::str::from_utf8(&value[..end]).is_err() {
            draft.remark(self.at, "not UTF-8: read as Windows-1252");
        }
        let after = opened + 1 + end + usize::from(closed.is_some());
        let bracket = line[after..].iter().position(|&b| b == b']');
        self.at += bracket.map_or(line.len(), |n| after + n + 1);
    }

    /// Begins the moves of a game: sets up its start.
    fn open(&mut self, draft: &mut Draft) {
        draft.in_moves = true;
        draft.played.line = self.line_of(draft.begin) as u32;
        draft.tags.fen = draft.tags.fen.trim().to_owned();
        if draft.tags.fen.is_empty() || draft.tags.other_variant() {
            return;
        }
        match position_of(&draft.tags.fen) {
            Ok(position) if position == Chess::default() => draft.tags.fen.clear(),
            Ok(position) => draft.position = position,
            Err(error) => draft.fail(draft.begin, error.to_string()),
        }
    }

    fn movetext(&mut self, byte: u8, draft: &mut Draft) -> bool {
        match byte {
            b'{' => self.comment(draft),
            b';' => self.skip_line(),
            b'(' => {
                if draft.depth == 0 {
                    draft.opened = self.at;
                }
                draft.depth += 1;
                self.at += 1;
            }
            b')' => {
                if draft.depth == 0 {
                    draft.fail(
                        self.at,
                        "')' closes a side line that was never opened".to_owned(),
                    );
                }
                draft.depth = draft.depth.saturating_sub(1);
                self.at += 1;
            }
            b'$' => {
                self.at += 1;
                self.at += self.text[self.at..]
                    .iter()
                    .take_while(|b| b.is_ascii_digit())
                    .count();
            }
            b'}' => {
                draft.fail(
                    self.at,
                    "'}' closes a comment that was never opened".to_owned(),
                );
                self.at += 1;
            }
            b'<' => self.reserved(draft),
            b'*' if draft.depth == 0 => {
                self.at += 1;
                draft.marker = Some(Outcome::Unknown);
                return true;
            }
            _ => return self.word(draft),
        }
        false
    }

    fn comment(&mut self, draft: &mut Draft) {
        let rest = &self.text[self.at..];
        match memchr(b'}', rest) {
            Some(end) => self.at += end + 1,
            None => {
                draft.fail(
                    self.at,
                    "a comment is opened with '{' and never closed".to_owned(),
                );
                draft.depth = 0;
                self.at = self.text.len();
            }
        }
    }

    fn reserved(&mut self, draft: &mut Draft) {
        draft.remark(self.at, "'<…>' is reserved by the standard: left out");
        let line = self.rest_of_line();
        self.at += memchr(b'>', line).map_or(line.len().max(1), |end| end + 1);
    }

    fn word(&mut self, draft: &mut Draft) -> bool {
        let from = self.at;
        let rest = &self.text[from..];
        let length = rest
            .iter()
            .position(|&b| ends_word(b))
            .unwrap_or(rest.len())
            .max(1);
        self.at += length;
        let mut word = &rest[..length];
        if draft.depth > 0 || draft.fault.is_some() && !is_result(word) {
            return false;
        }
        // A promotion written e8(Q): the bracket belongs to the move, not to a side line.
        if let Some(whole) = promoted_in_brackets(rest, length) {
            self.at = from + whole;
            word = &rest[..whole];
        }
        if like_a_move(word) {
            play_word(draft, word, from);
            return false;
        }
        if let Some(outcome) = Outcome::from_text(word) {
            draft.marker = Some(outcome);
            return true;
        }
        let word = self.number(word, from, draft);
        if let Some(outcome) = Outcome::from_text(word) {
            draft.marker = Some(outcome);
            return true;
        }
        play_word(draft, word, from);
        false
    }

    /// Strips a move number and its dots from a word, and looks whether it is the right one.
    fn number<'w>(&self, word: &'w [u8], at: usize, draft: &mut Draft) -> &'w [u8] {
        let digits = word.iter().take_while(|b| b.is_ascii_digit()).count();
        let after = strip_dots(&word[digits..]);
        let dotted = after.len() < word.len() - digits;
        if digits == 0 || (!dotted && digits < word.len()) {
            return if digits == 0 { after } else { word };
        }
        let number = std::str::from_utf8(&word[..digits])
            .ok()
            .and_then(|n| n.parse().ok());
        let black = word.len() - digits - after.len() >= 3;
        let fits = number.is_some_and(|number| number_fits(&draft.position, number, black));
        if !fits && !draft.misnumbered {
            draft.misnumbered = true;
            let expected = draft.position.fullmoves();
            let remark = format!(
                "move number {} where {expected} comes next",
                text(&word[..digits])
            );
            draft.remark(at, &remark);
        }
        after
    }

    fn line_of(&self, at: usize) -> u64 {
        self.first_line + memchr_iter(b'\n', &self.text[..at.min(self.text.len())]).count() as u64
    }

    /// Ends a game: refuses it, leaves it out or keeps it.
    fn close(&mut self, mut draft: Draft, found: &mut Found) {
        if draft.is_empty() {
            return;
        }
        found.report.games += 1;
        if draft.tags.other_variant() {
            found.report.variants += 1;
            return;
        }
        if !draft.in_moves {
            self.open(&mut draft);
        }
        if draft.depth > 0 {
            draft.fail(
                draft.opened,
                "a side line is opened with '(' and never closed".to_owned(),
            );
        }
        let game_line = self.line_of(draft.begin);
        if let Some((at, reason)) = draft.fault.take() {
            let remark = Remark {
                line: self.line_of(at),
                game_line,
                reason,
            };
            if !self.keep_to_fault || draft.played.plies == 0 {
                found.report.refused.push(remark);
                return;
            }
            draft.played.cut = true;
            draft.marker = draft.marker.or(Some(Outcome::Unknown));
            found.warn(Remark {
                reason: format!("kept up to the fault: {}", remark.reason),
                ..remark
            });
        } else if draft.played.plies == 0 {
            let reason = "a game without moves: nothing to count".to_owned();
            found.report.refused.push(Remark {
                line: game_line,
                game_line,
                reason,
            });
            return;
        }
        settle(&mut draft);
        for (at, reason) in std::mem::take(&mut draft.remarks) {
            found.warn(Remark {
                line: self.line_of(at),
                game_line,
                reason,
            });
        }
        found.games.push(&draft.tags, &draft.played);
    }
}

/// Plays a word without its suffixes, unless it is a remark.
fn play_word(draft: &mut Draft, word: &[u8], at: usize) {
    let end = word
        .iter()
        .rposition(|b| !matches!(b, b'!' | b'?' | b'+' | b'#'))
        .map_or(0, |n| n + 1);
    if is_remark(word) {
        draft.remark(
            at,
            &format!("'{}' is no part of a game: left out", text(word)),
        );
    } else if end > 0 {
        play(draft, &word[..end], at);
    }
}

fn play(draft: &mut Draft, token: &[u8], at: usize) {
    match resolve(&draft.position, token) {
        Ok((played, remark)) => {
            if let Some(remark) = remark {
                let shown = label(&draft.position, token);
                if !draft
                    .remarks
                    .iter()
                    .any(|(_, known)| known.ends_with(remark))
                {
                    draft.remark(at, &format!("{shown}: {remark}"));
                }
            }
            moves::encode(&draft.position, played, &mut draft.played.moves);
            draft.position.play_unchecked(played);
            draft.played.plies += 1;
        }
        Err(reason) => draft.fail(at, reason),
    }
}

/// Decides the outcome from the tag and the marker at the end.
fn settle(draft: &mut Draft) {
    let end = draft.begin;
    draft.played.outcome = match (draft.tags.result, draft.marker) {
        (Some(tag), Some(marker)) if tag == marker => tag,
        (Some(tag), Some(_)) if draft.played.cut => tag,
        (Some(_), Some(_)) => {
            draft.remark(
                end,
                "the result tag and the end of the game contradict each other: no score counted",
            );
            Outcome::Unknown
        }
        (Some(tag), None) => {
            draft.remark(end, "no result at the end of the game: the tag counts");
            tag
        }
        (None, Some(marker)) => marker,
        (None, None) => {
            draft.remark(end, "no result at all: no score counted");
            Outcome::Unknown
        }
    };
}

fn closing_quote(value: &[u8]) -> Option<usize> {
    let mut escaped = false;
    value.iter().position(|&byte| {
        let closes = byte == b'"' && !escaped;
        escaped = byte == b'\\' && !escaped;
        closes
    })
}

/// Bytes at which a word ends.
const ENDS: [bool; 256] = {
    let mut table = [false; 256];
    let ends = b" \t\n\r\x0b\x0c{}();$<*[";
    let mut index = 0;
    while index < ends.len() {
        table[ends[index] as usize] = true;
        index += 1;
    }
    table
};

fn ends_word(byte: u8) -> bool {
    ENDS[usize::from(byte)]
}

/// Whether a word looks like a move: nearly all do, and then nothing else need be asked.
fn like_a_move(word: &[u8]) -> bool {
    word.len() > 1
        && matches!(word[0], b'a'..=b'd' | b'f'..=b'h' | b'K' | b'Q' | b'R' | b'B' | b'N' | b'O')
        || word.len() > 1 && word[0] == b'e' && word[1] != b'.' && word[1] != b'p'
}

fn strip_dots(word: &[u8]) -> &[u8] {
    let mut rest = word;
    loop {
        if let Some(after) = rest.strip_prefix(b".") {
            rest = after;
        } else if let Some(after) = rest.strip_prefix("…".as_bytes()) {
            rest = after;
        } else {
            return rest;
        }
    }
}

fn is_result(word: &[u8]) -> bool {
    Outcome::from_text(word).is_some()
}

fn is_remark(word: &[u8]) -> bool {
    if like_a_move(word) {
        return false;
    }
    matches!(
        word,
        b"e.p."
            | b"ep"
            | b"ep."
            | b"+-"
            | b"-+"
            | b"+/-"
            | b"-/+"
            | b"+="
            | b"=+"
            | b"="
            | b"+/="
            | b"=/+"
            | b"D"
            | b"mate"
    ) || matches!(text(word).as_str(), "±" | "∓" | "⩲" | "⩱" | "∞" | "□" | "Δ")
}

fn promoted_in_brackets(rest: &[u8], length: usize) -> Option<usize> {
    let tail = rest.get(length..length + 3)?;
    let last_rank = matches!(rest[length - 1], b'1' | b'8');
    (last_rank
        && tail[0] == b'('
        && matches!(tail[1], b'Q' | b'R' | b'B' | b'N')
        && tail[2] == b')')
        .then_some(length + 3)
}
