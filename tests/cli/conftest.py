"""One shop with a bracket at rev C and settings for it, shared by tests that leave it as it is."""

import pytest

from tests.cli.shop import Shop, with_cards, with_revisions, with_settings


@pytest.fixture(scope="session")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Shop:
    return with_settings(with_revisions(with_cards(Shop(tmp_path_factory.mktemp("shop")).start())))
