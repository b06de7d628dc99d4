"""The steps in French are the same steps: nothing but words differs, and none stays English."""

from projector.steps.make import make_steps
from projector.steps.words import LANGUAGES
from tests.cutting.product import garment, lay


def test_only_words_differ() -> None:
    dress = garment("middle", {})
    laid = lay(dress, "lengthwise")
    english, french = make_steps(dress, laid), make_steps(dress, laid, words=LANGUAGES["fr"])
    assert [(e.op, e.lines, e.through, e.frees, e.is_fact) for e in english] == [
        (f.op, f.lines, f.through, f.frees, f.is_fact) for f in french
    ]
    assert all(0 < len(step.title.split()) <= 12 for step in french)
    assert {e.title for e, f in zip(english, french, strict=True) if e.title == f.title or e.say == f.say} == set()
    left = {word for step in french for word in step.say.split() if word in {"the", "through", "front", "skirt", "layers", "lining"}}
    assert left == set()
