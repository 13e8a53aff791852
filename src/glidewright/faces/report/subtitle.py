"""The line under the title of a report on one model."""


def subtitle(is_invented: bool, draws: int) -> str:
    """Whether the model is invented, and from how many draws every range comes.

    >>> subtitle(True, 1024)
    'Invented for the demo. Every range comes from 1024 draws.'
    """
    invented = "Invented for the demo. " if is_invented else ""
    return f"{invented}Every range comes from {draws} draws."
