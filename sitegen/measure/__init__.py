"""The science: free functions over arrays, floats and small frozen records.

Nothing here reads a file, knows a record or writes text. Import the module of the
idea that is needed (``sitegen.measure.fit``, ``sitegen.measure.cost``); this file
imports none of them, so that cheap arithmetic does not wait for special functions.
"""
