//! So many of something, in words.

use std::fmt::Display;

/// A count of whatever width with its noun: "1 item", "3 items".
pub fn counted<N: Display + From<u8> + PartialEq>(count: N, one: &str, many: &str) -> String {
    let noun = if count == N::from(1) { one } else { many };
    format!("{count} {noun}")
}

#[cfg(test)]
mod tests {
    use super::counted;

    #[test]
    fn one_is_told_in_the_singular() {
        let told = [0, 1, 2].map(|count: usize| counted(count, "item is", "items are"));
        assert_eq!(told, ["0 items are", "1 item is", "2 items are"]);
        assert_eq!(counted(1_u8, "person", "persons"), "1 person");
    }
}
