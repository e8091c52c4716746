"""The forms of project pages: each edit of a draft is one form, and each calls one pure function."""
