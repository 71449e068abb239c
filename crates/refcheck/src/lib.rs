//! Outside truth and nothing else: cases from standards, papers, data sheets and other programs, held against our
//! rooms. The cases lie in `cases/<source>/`, the checks in `tests/it/`, one module per room. A number that our own
//! program made is no case.
