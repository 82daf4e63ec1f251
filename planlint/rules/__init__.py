"""The rules: one file each, in a folder per subject. Adding a rule is adding a file and a folder of cases."""
