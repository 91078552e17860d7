"""Run a command on a terminal of its own and tell what was seen there.

usage: terminal.py COLUMNS [--interrupt-at TEXT] COMMAND...

Standard error is the terminal; standard output goes on as it is. All that the terminal was sent is
written to the file `sent`, and what a person would see in the end to the file `screen`. With
--interrupt-at, Ctrl-C is pressed once the text was sent. The exit status is the command's, as a
shell would say it.
"""

import fcntl
import os
import pty
import signal
import struct
import sys
import termios


def screen_of(sent):
    """The lines left over once each carriage return has begun its line again."""
    lines = []
    for line in sent.split("\n"):
        cells = []
        column = 0
        for sign in line:
            if sign == "\r":
                column = 0
                continue
            cells[column:column + 1] = [sign]
            column += 1
        lines.append("".join(cells).rstrip())
    return "\n".join(lines)


def start(columns, command):
    """The command in a session of its own, standard error and input its terminal."""
    kept = os.dup(1)
    process, terminal = pty.fork()
    if process:
        os.close(kept)
        return process, terminal
    fcntl.ioctl(2, termios.TIOCSWINSZ, struct.pack("HHHH", 25, columns, 0, 0))
    os.dup2(kept, 1)
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    os.execvp(command[0], command)


def read_all(terminal, interrupt_at):
    sent = b""
    while True:
        try:
            piece = os.read(terminal, 4096)
        except OSError:  # the other end is closed
            return sent.decode()
        if not piece:
            return sent.decode()
        sent += piece
        if interrupt_at and interrupt_at.encode() in sent:
            os.write(terminal, b"\x03")
            interrupt_at = None


def main(words):
    columns, words = int(words[0]), words[1:]
    interrupt_at = None
    if words[0] == "--interrupt-at":
        interrupt_at, words = words[1], words[2:]
    process, terminal = start(columns, words)
    sent = read_all(terminal, interrupt_at)
    _, ending = os.waitpid(process, 0)
    with open("sent", "w", encoding="utf-8", newline="") as file:
        file.write(sent)
    with open("screen", "w", encoding="utf-8") as file:
        file.write(screen_of(sent))
    if os.WIFSIGNALED(ending):
        return 128 + os.WTERMSIG(ending)
    return os.WEXITSTATUS(ending)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
