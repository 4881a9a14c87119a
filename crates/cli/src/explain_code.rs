//! `jarlight explain-code`: what the code of a diagnostic means.

use crate::out::Out;
use jarlight_model::diag::{Code, closest};
use std::io;

/// Prints the page of a code, or all codes with their pages.
pub fn run(code: Option<&str>, out: &mut Out<'_>) -> io::Result<u8> {
    let Some(wanted) = code else {
        for code in Code::ALL {
            out.line(&format!("{code}\n    {}", code.doc()))?;
        }
        return Ok(0);
    };
    if let Some(code) = Code::ALL.iter().find(|c| c.as_str() == wanted) {
        out.line(&format!("{code}\n\n{}", code.doc()))?;
        return Ok(0);
    }
    let near = closest(wanted, Code::ALL.iter().map(|c| c.as_str()));
    out.message(&match near {
        Some(near) => format!("error: there is no code `{wanted}`; did you mean `{near}`?"),
        None => {
            format!("error: there is no code `{wanted}`; `jarlight explain-code` lists all of them")
        }
    });
    Ok(2)
}
