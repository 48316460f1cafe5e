//! Small differences between things that are alike: the same for the same name, whatever else is in the tables.

/// A stream of numbers that a name sets off. The steps are those of `SplitMix64`, a public-domain generator.
pub(super) struct Chance(u64);

impl Chance {
    /// The stream of a name; the name is folded by 64-bit FNV-1a.
    pub(super) fn named(name: &str) -> Self {
        let fold = |hash: u64, byte: u8| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
        Self(name.bytes().fold(0xcbf2_9ce4_8422_2325, fold))
    }

    /// The next number.
    pub(super) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A number from 0 to below `end`.
    pub(super) fn below(&mut self, end: u8) -> u8 {
        let rest = self.next() % u64::from(end.max(1));
        u8::try_from(rest).expect("a rest of a byte is a byte")
    }

    /// One of these; nothing if there are none.
    pub(super) fn pick<'a, T>(&mut self, from: &'a [T]) -> Option<&'a T> {
        let rest = self.next() % u64::try_from(from.len().max(1)).unwrap_or(1);
        from.get(usize::try_from(rest).unwrap_or_default())
    }
}
