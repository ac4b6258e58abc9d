//! The time of day, for the foot of a page.

use std::time::{SystemTime, UNIX_EPOCH};

/// Returns the time now, such as `2031-05-09 14:05 UTC`.
pub fn now() -> String {
    let seconds = SystemTime::now()
        .duration_since(UNIX_EPOCH)
        .map_or(0, |since| since.as_secs());
    written(seconds)
}

/// Seconds since 1970 as a date and a time.
fn written(seconds: u64) -> String {
    let (days, rest) = (seconds / 86_400, seconds % 86_400);
    // Days counted from 1 March of year 0 fall into whole eras of 400 years.
    let days = days + 719_468;
    let (era, day) = (days / 146_097, days % 146_097);
    let year = (day - day / 1_460 + day / 36_524 - day / 146_096) / 365;
    let day = day - (365 * year + year / 4 - year / 100);
    let month = (5 * day + 2) / 153;
    let date = day - (153 * month + 2) / 5 + 1;
    let (month, later) = if month < 10 {
        (month + 3, 0)
    } else {
        (month - 9, 1)
    };
    format!(
        "{}-{month:02}-{date:02} {:02}:{:02} UTC",
        era * 400 + year + later,
        rest / 3_600,
        rest / 60 % 60
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_are_those_of_the_calendar() {
        // Python 3: datetime.fromtimestamp(n, UTC).
        assert_eq!(written(0), "1970-01-01 00:00 UTC");
        assert_eq!(written(951_782_399), "2000-02-28 23:59 UTC");
        assert_eq!(written(951_782_400), "2000-02-29 00:00 UTC");
        assert_eq!(written(1_709_251_199), "2024-02-29 23:59 UTC");
        assert_eq!(written(4_107_542_400), "2100-03-01 00:00 UTC");
    }
}
