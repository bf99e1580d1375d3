//! The tag pairs of a game: what is kept of them, and what is wrong with them.

use super::Outcome;

/// Tag values of one game, decoded.
#[derive(Debug, Clone, Default)]
pub(super) struct Tags {
    pub event: String,
    pub site: String,
    pub date: String,
    pub round: String,
    pub white: String,
    pub black: String,
    pub white_rating: i16,
    pub black_rating: i16,
    pub year: i16,
    pub result: Option<Outcome>,
    pub fen: String,
    pub variant: String,
    pub rest: String,
    seen: Vec<Box<[u8]>>,
}

/// What a tag pair gave cause to say.
pub(super) type Remark = Option<String>;

impl Tags {
    /// Takes one tag; the first of two with the same name counts.
    pub fn take(&mut self, name: &[u8], raw: &[u8]) -> Remark {
        if self
            .seen
            .iter()
            .any(|known| known.eq_ignore_ascii_case(name))
        {
            return Some(format!("tag {} stands twice: the first counts", text(name)));
        }
        self.seen.push(name.into());
        let value = decode(raw);
        match name {
            b"Event" => self.event = value,
            b"Site" => self.site = value,
            b"Round" => self.round = value,
            b"White" => self.white = value,
            b"Black" => self.black = value,
            b"Date" => return self.take_date(value),
            b"UTCDate" | b"EventDate" if self.year == 0 => {
                self.year = year_of(&value).unwrap_or(0);
                self.keep(name, &value);
            }
            b"WhiteElo" => return rating(&value, &mut self.white_rating),
            b"BlackElo" => return rating(&value, &mut self.black_rating),
            b"Result" => return self.take_result(&value),
            b"FEN" => self.fen = value,
            b"SetUp" => {}
            b"Variant" => self.variant = value,
            _ => self.keep(name, &value),
        }
        None
    }

    fn keep(&mut self, name: &[u8], value: &str) {
        self.rest.push_str(&text(name));
        self.rest.push('\t');
        self.rest.push_str(&value.replace(['\n', '\t'], " "));
        self.rest.push('\n');
    }

    fn take_date(&mut self, value: String) -> Remark {
        let year = year_of(&value);
        if let Some(found) = year.filter(|&y| y > 0) {
            self.year = found;
        }
        let remark = year
            .is_none()
            .then(|| format!("'{value}' is no date: the year counts as unknown"));
        self.date = value;
        remark
    }

    fn take_result(&mut self, value: &str) -> Remark {
        self.result = Outcome::from_text(value.trim().as_bytes());
        (self.result.is_none() && !matches!(value.trim(), "" | "?"))
            .then(|| format!("'{value}' is no result"))
    }

    /// Whether the game is of another variant than chess.
    pub fn other_variant(&self) -> bool {
        !matches!(
            self.variant.trim().to_ascii_lowercase().as_str(),
            "" | "?" | "standard" | "chess" | "normal" | "from position" | "classical"
        )
    }

    pub fn is_empty(&self) -> bool {
        self.seen.is_empty()
    }
}

/// The year of a PGN date: `Some(0)` if it is open (`????.??.??`), `None` if absurd.
fn year_of(value: &str) -> Option<i16> {
    let value = value.trim();
    let first = value.split(['.', '-', '/']).next().unwrap_or("");
    if value.is_empty() || value == "-" || first.bytes().all(|byte| byte == b'?') {
        return Some(0);
    }
    if first.contains('?') && first.len() == 4 {
        return Some(0);
    }
    let year = first.parse::<i16>().ok()?;
    (first.len() == 4 && (1400..=2100).contains(&year)).then_some(year)
}

fn rating(value: &str, slot: &mut i16) -> Remark {
    let plain = value.trim().trim_end_matches('?');
    if matches!(plain, "" | "-" | "0" | "unrated" | "Unrated") {
        return None;
    }
    match plain.parse::<i32>() {
        Ok(number) if (100..=4000).contains(&number) => {
            *slot = number as i16;
            None
        }
        _ => Some(format!(
            "'{value}' is no rating: the player counts as unrated"
        )),
    }
}

/// Bytes as text: UTF-8, else Windows-1252.
pub(super) fn text(raw: &[u8]) -> String {
    std::str::from_utf8(raw).map_or_else(
        |_| raw.iter().map(|&b| windows_1252(b)).collect(),
        str::to_owned,
    )
}

/// A tag value: escapes resolved, then read as text.
fn decode(raw: &[u8]) -> String {
    if !raw.contains(&b'\\') {
        return text(raw);
    }
    let mut plain = Vec::with_capacity(raw.len());
    let mut bytes = raw.iter().copied().peekable();
    while let Some(byte) = bytes.next() {
        let escape = byte == b'\\' && matches!(bytes.peek(), Some(b'"' | b'\\'));
        plain.push(if escape {
            bytes.next().unwrap_or(byte)
        } else {
            byte
        });
    }
    text(&plain)
}

/// Source: the WHATWG index for windows-1252, 0x80 to 0x9F.
fn windows_1252(byte: u8) -> char {
    const HIGH: [char; 32] = [
        '€', '\u{81}', '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', '\u{8d}', 'Ž',
        '\u{8f}', '\u{90}', '‘', '’', '“', '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', '\u{9d}',
        'ž', 'Ÿ',
    ];
    match byte {
        0x80..=0x9f => HIGH[usize::from(byte - 0x80)],
        _ => char::from(byte),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn escapes_and_old_encodings() {
        assert_eq!(decode(br#"Ann \"Rook\" B\\C"#), r#"Ann "Rook" B\C"#);
        assert_eq!(decode(b"M\xfcller \x96 \x80"), "Müller – €");
        assert_eq!(decode("Müller".as_bytes()), "Müller");
    }

    #[test]
    fn dates_and_ratings() {
        assert_eq!(year_of("2019.04.??"), Some(2019));
        assert_eq!(year_of("????.??.??"), Some(0));
        assert_eq!(year_of("199?.??.??"), Some(0));
        assert_eq!(year_of("9999.99.99"), None);
        let mut slot = 0;
        assert!(rating("1500?", &mut slot).is_none() && slot == 1500);
        assert!(rating("99999", &mut slot).is_some());
    }
}
