//! Fields of forms as they are written.

use ropeloft::{domain::FieldErrors, view::form::Form};

#[test]
fn a_wrong_field_keeps_its_text_and_names_its_error() {
    let mut wrong = FieldErrors::default();
    wrong.add("ratings[0].value", "number", "Write a number.");
    let form = Form::new(&wrong);
    let html = form
        .number("ratings[0].value", "Strength", "22 <kN>")
        .hint("From the marking.")
        .to_string();
    assert!(html.contains("value=\"22 &#60;kN&#62;\""), "{html}");
    assert!(html.contains("aria-describedby=\"f-ratings-0-value-hint f-ratings-0-value-wrong-1\""));
    assert!(html.contains("aria-invalid=\"true\" autofocus"), "{html}");
    let top = form.summary().to_string();
    assert!(
        top.contains("href=\"#f-ratings-0-value\">Strength: Write a number.<"),
        "{top}"
    );
}

#[test]
fn a_new_form_has_no_summary_and_a_password_is_never_given_back() {
    let form = Form::default();
    assert_eq!(form.summary().to_string(), "");
    let html = form
        .password("password", "Password", "current-password")
        .to_string();
    assert!(!html.contains("value="), "{html}");
}
