"""The pages of the catalog: find a winch, say what is known about its spot, read the answer, look at a part.

They work without script. A view translates only: typed text becomes a question (``sheet``, ``reading``), an
answer becomes what a template shows (``shown``). Sentences about an answer are made by the resolver's
``explain``; the headings, labels and hints of the pages stand in the templates and in ``labels``.
"""
