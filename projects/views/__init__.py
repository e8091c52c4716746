"""The pages of projects: one file a page or a group of edits; HTTP only."""
