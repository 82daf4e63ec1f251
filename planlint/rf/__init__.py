"""Physics, numbers in and numbers out: one published model a file, and no plan, file or rule known here.

Where a function takes a number it also takes a numpy array of any shape, unless it says "plain number";
arrays broadcast and an array comes back. The annotations name the scalar, which loads no numpy.

How far a source was read is said in each file: "read in a public copy" (a mirror, a quotation or an abstract,
not the issuing body's own page unless that is named), "from memory, not verified", or "common practice, no
source".
"""
