"""The language of what is read: English texts of the program, put into another one where they reach paper or screen."""

from layout.languages.speech import Language, Said, heard, in_language, speak, spoken, spoken_language

__all__ = ["Language", "Said", "heard", "in_language", "speak", "spoken", "spoken_language"]
