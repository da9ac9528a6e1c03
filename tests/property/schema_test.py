"""Every generated source is valid by the JSON Schema that the program prints."""

import json
import sys
import unittest
from pathlib import Path

import jsonschema

import devices
import generate
import program

sys.path.insert(1, str(Path(__file__).resolve().parents[1]))
import share  # noqa: E402

SEED, COUNT = 3, share.number(300, least=100)


def validator(kind):
    done = program.run(".", "schema", kind)
    schema = json.loads(done.stdout)
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)


class Schemas(unittest.TestCase):
    def refused(self, kind, sources):
        check = validator(kind)
        for source in sources:
            for error in check.iter_errors(source):
                yield f"{list(error.absolute_path)}: {error.message[:200]}"

    def test_device_profiles(self):
        profiles = [devices.device(SEED, number) for number in range(devices.DEVICES)]
        self.assertEqual(list(self.refused("device-profile", profiles)), [])

    def test_definitions(self):
        profile = devices.device(SEED, 0)
        made = (generate.definition(SEED, number, profile) for number in range(COUNT))
        self.assertEqual(list(self.refused("engine-definition", made)), [])


if __name__ == "__main__":
    unittest.main()
