"""A shape from a picture: photographs with marks, a flat scan, or a drawing become a path with its error stated.

Each way in is one function that takes a picture and what was answered, and returns a
:class:`layout.trace.result.Traced`: :func:`layout.trace.photograph.from_photographs`,
:func:`layout.trace.scan.from_scan` and :func:`layout.trace.vector.from_drawing`. A
picture that can't be trusted raises :class:`layout.trace.result.TraceError`, which says what to do better. The
libraries stand in the extra ``trace``.
"""
