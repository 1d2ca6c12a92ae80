"""The compatibility resolver: pure Python, no Django, no database, no clock, no randomness.

Input: a compiled revision of the catalog and a question. Output: an answer. Read ``definition.py`` first:
it says in a few lines what the answer means; ``search.py`` finds the same answer fast; ``checker.py``
verifies a finished answer without searching.
"""
