//! The strength that a standard asks of accessory cord.

use super::{Force, Length, MethodError};

/// The least strength of a new accessory cord: F = 0.2 d², in kN with d in mm.
///
/// Source: EN 564, whose table for 4 to 8 mm the rule reproduces. A floor for a new cord under test,
/// not the rating of the cord in the hand. Limits: 4 to 8 mm.
///
/// ```
/// use ropeloft::rigging::{Length, cord_floor};
///
/// let floor = cord_floor(Length::from_millimetres(6.0)?)?;
/// assert!((floor.kilonewtons() - 7.2).abs() < 1e-9);
/// assert!(cord_floor(Length::from_millimetres(9.0)?).is_err());
/// # Ok::<(), ropeloft::rigging::MethodError>(())
/// ```
pub fn cord_floor(diameter: Length) -> Result<Force, MethodError> {
    let millimetres = diameter.millimetres();
    if !(4.0..=8.0).contains(&millimetres) {
        return Err(MethodError::Beyond(
            "the table for accessory cord runs from 4 to 8 mm: take the maker's strength",
        ));
    }
    Ok(Force::from_kilonewtons(0.2 * millimetres * millimetres)?)
}
