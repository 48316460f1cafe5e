//! Pure mechanics: quantities, the reeving solver, friction, bridles, rope length, strength of a part.
