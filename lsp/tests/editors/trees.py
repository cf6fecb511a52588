"""What a tree-sitter parser makes of texts: python trees.py PARSER.so < texts > trees, both JSON."""
import ctypes
import json
import sys

from tree_sitter import Language, Parser

library = ctypes.cdll.LoadLibrary(sys.argv[1])
library.tree_sitter_springline.restype = ctypes.c_void_p
capsule = ctypes.pythonapi.PyCapsule_New
capsule.restype = ctypes.py_object
capsule.argtypes = [ctypes.c_void_p, ctypes.c_char_p, ctypes.c_void_p]
pointer = library.tree_sitter_springline()
parser = Parser(Language(capsule(pointer, b"tree_sitter.Language", None)))


def blocks(root):
    """Keyword, first and last line of every statement with braces, in order."""
    out, waiting = [], [root]
    while waiting:
        node = waiting.pop()
        waiting.extend(reversed(node.children))
        keyword = node.child_by_field_name("keyword") if node.type == "statement" else None
        if keyword and any(child.type == "block" for child in node.children):
            out.append([keyword.text.decode(), node.start_point[0], node.end_point[0]])
    return out


trees = []
for text in json.load(sys.stdin):
    root = parser.parse(text.encode()).root_node
    trees.append({"error": root.has_error, "blocks": blocks(root)})
json.dump(trees, sys.stdout)
