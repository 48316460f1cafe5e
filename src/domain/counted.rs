//! So many of something, in words.

/// A count with its noun: "1 item", "3 items".
pub fn counted(count: usize, one: &str, many: &str) -> String {
    match count {
        1 => format!("1 {one}"),
        n => format!("{n} {many}"),
    }
}

#[cfg(test)]
mod tests {
    use super::counted;

    #[test]
    fn one_is_told_in_the_singular() {
        let told = [0, 1, 2].map(|count| counted(count, "item is", "items are"));
        assert_eq!(told, ["0 items are", "1 item is", "2 items are"]);
    }
}
