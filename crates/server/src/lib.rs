//! The workbench over HTTP: the API under `/api/v1` and the embedded page. Knows no equation.
