"""Three editors with the lines that README gives for each: started without a screen, they show a
finding, and their server ends with them.

Neovim has a client; so has Emacs from 29 on, and before with the package elpa-eglot. Vim has one
with the extension ALE. `make deps-editor` installs them.
"""

import json
import os
import pathlib
import re
import shutil
import signal
import subprocess
import tempfile
import time
import unittest

PROGRAM = pathlib.Path(os.environ.get("ROTORTAB", "build/rotortab")).resolve()
ENGINES = pathlib.Path("engines-demo/engines")
NAME = "quern-12.engine.yaml"
README = pathlib.Path("README.md").read_text(encoding="utf-8")
SECONDS = 60  # that an editor gets; it is ready when it shows something
ALE = [path for path in ("/usr/share/vim/vimfiles/pack/dist-bundle/opt/ale",)
       if pathlib.Path(path).exists()]

# Started as a command of the editor: waits for findings, and writes what it shows.
LOOK_NEOVIM = """
vim.wait(SECONDS * 1000, function() return #vim.diagnostic.get(0) > 0 end, 50)
local shown = {}
for _, found in ipairs(vim.diagnostic.get(0)) do
  table.insert(shown, {found.lnum + 1, found.message})
end
local at = vim.lsp.util.make_position_params()
at.position = {line = PATH, character = 8}
local hover = vim.lsp.buf_request_sync(0, 'textDocument/hover', at, SECONDS * 1000)
local _, first = next(hover or {})
at.position = {line = STAGE, character = 10}
at.newName = 'N1'
local renamed = vim.lsp.buf_request_sync(0, 'textDocument/rename', at, SECONDS * 1000)
local _, answer = next(renamed or {})
vim.lsp.util.apply_workspace_edit(answer.result, 'utf-16')
vim.fn.writefile({vim.fn.json_encode({shown = shown, hover = first.result.contents.value,
                                      text = vim.api.nvim_buf_get_lines(0, 0, -1, true)})}, 'shown')
"""
LOOK_EMACS = """
(find-file "NAME")
(run-hooks 'post-command-hook)
(let ((end (+ (float-time) SECONDS)))
  (while (and (not (flymake-diagnostics)) (< (float-time) end))
    (accept-process-output nil 0.1)
    (sit-for 0.1)))
(let ((shown (mapcar (lambda (found)
                       (vector (line-number-at-pos (flymake-diagnostic-beg found))
                               (flymake-diagnostic-text found)))
                     (flymake-diagnostics))))
  (with-temp-file "shown" (insert (json-encode (list (cons 'shown (vconcat shown)))))))
"""
# Ends an Emacs that has no client, of its own or from the package.
NO_CLIENT = 77
ASK_EMACS = f"(unless (require 'eglot nil t) (kill-emacs {NO_CLIENT}))"
LOOK_VIM = """
let s:end = localtime() + SECONDS
while localtime() < s:end && empty(getloclist(0))
  sleep 50m
endwhile
call writefile([json_encode({'shown': map(getloclist(0), '[v:val.lnum, v:val.text]')})], 'shown')
qa!
"""


def lines_for(language):
    """The lines of README for one editor."""
    (block,) = re.findall(rf"^```{language}\n(.*?)^```$", README, re.M | re.S)
    return block


def absent(*programs, also=()):
    """Why an editor cannot be tried; None: it can."""
    missing = [name for name in programs if not shutil.which(name)] + list(also)
    return f"not on this machine: {', '.join(missing)}" if missing else None


NO_NEOVIM = absent("nvim")
NO_EMACS = absent("emacs")
NO_VIM = absent("vim", also=() if ALE else ["vim-ale"])


class Editors(unittest.TestCase):
    """Each opens a definition with a tooth count of the wrong line."""

    def setUp(self):
        self.folder = pathlib.Path(tempfile.mkdtemp(prefix="lsp-editor-"))
        self.addCleanup(shutil.rmtree, self.folder)
        text = (ENGINES / NAME).read_text(encoding="utf-8")
        self.text = text.replace("[21, 41]", "[21, 44]")
        self.assertNotEqual(self.text, text)
        (self.folder / NAME).write_text(self.text, encoding="utf-8")
        # The lines name `rotortab`; here it also writes down its process.
        self.write("bin/rotortab", f'#!/bin/sh\necho $$ >> "{self.folder}/servers"\n'
                                   f'exec "{PROGRAM}" "$@"\n').chmod(0o755)
        (self.folder / "home").mkdir()
        self.environment = {**os.environ, "HOME": str(self.folder / "home"), "TERM": "dumb",
                            "PATH": f"{self.folder}/bin:{os.environ['PATH']}"}
        self.environment.pop("XDG_CONFIG_HOME", None)

    def write(self, name, text):
        path = self.folder / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(text.replace("SECONDS", str(SECONDS)).replace("NAME", NAME),
                        encoding="utf-8")
        return path

    def servers(self):
        """The processes of the servers that were started."""
        path = self.folder / "servers"
        return [int(line) for line in path.read_text().split()] if path.exists() else []

    def alive(self):
        return [process for process in self.servers() if pathlib.Path(f"/proc/{process}").exists()]

    def assert_ended(self):
        """Every server ends soon after its editor."""
        self.assertEqual(len(self.servers()), 1)
        for _ in range(SECONDS * 10):
            if not self.alive():
                return
            time.sleep(0.1)
        self.fail(f"still there: {self.alive()}")

    def run_editor(self, *command):
        """Runs it until it ends, and returns what it has shown."""
        done = subprocess.run(command, cwd=self.folder, env=self.environment, timeout=3 * SECONDS,
                              capture_output=True, stdin=subprocess.DEVNULL, check=False)
        if done.returncode == NO_CLIENT:
            self.skipTest("not on this machine: elpa-eglot")
        path = self.folder / "shown"
        self.assertTrue(path.exists(), done)
        answer = json.loads(path.read_text(encoding="utf-8"))
        line = self.text[:self.text.index("turns: {pad: 3.0324")].count("\n") + 1
        self.assertIn(line, [number for number, text in answer["shown"]
                             if "the path makes 3.25424" in text])
        self.assert_ended()
        return answer

    @unittest.skipIf(NO_NEOVIM, NO_NEOVIM)
    def test_neovim(self):
        lines = self.write("init.lua", lines_for("lua"))
        lookup = {"PATH": "- external: [24", "STAGE": "- id: HPC-1\n"}
        look = LOOK_NEOVIM
        for word, place in lookup.items():
            number = self.text[:self.text.index(place)].count("\n")
            look = look.replace(word, str(number))
        look = self.write("look.lua", look)
        answer = self.run_editor("nvim", "--headless", "--clean", "-u", lines, NAME, "-c",
                                 f"luafile {look}", "-c", "qa!")
        self.assertIn("external", answer["hover"])
        self.assertIn("  - id: N1", answer["text"])
        self.assertEqual("\n".join(answer["text"]).replace("N1", "HPC-1") + "\n", self.text)

    @unittest.skipIf(NO_NEOVIM, NO_NEOVIM)
    def test_neovim_that_is_killed(self):
        lines = self.write("init.lua", lines_for("lua"))
        editor = subprocess.Popen(["nvim", "--headless", "--clean", "-u", lines, NAME],
                                  cwd=self.folder, env=self.environment,
                                  stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL,
                                  stderr=subprocess.DEVNULL)
        for _ in range(SECONDS * 10):
            if self.servers():
                break
            time.sleep(0.1)
        editor.send_signal(signal.SIGKILL)
        editor.wait()
        self.assert_ended()

    @unittest.skipIf(NO_EMACS, NO_EMACS)
    def test_emacs(self):
        lines = self.write("init.el", lines_for("elisp"))
        look = self.write("look.el", "(require 'json)" + LOOK_EMACS)
        # An interactive Emacs knows its packages before it reads the lines.
        self.run_editor("emacs", "--batch", "-f", "package-initialize", "--eval", ASK_EMACS,
                        "-l", lines, "-l", look)

    @unittest.skipIf(NO_VIM, NO_VIM)
    def test_vim_with_ale(self):
        lines = self.write("vimrc", "set nocompatible\npackadd ale\n" + lines_for("vim")
                           + "filetype on\n")
        look = self.write("look.vim", LOOK_VIM)
        self.run_editor("vim", "-T", "dumb", "--not-a-term", "-Nu", lines, "-c", f"source {look}",
                        NAME)


if __name__ == "__main__":
    unittest.main()
