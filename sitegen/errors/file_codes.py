"""Words for what is wrong with a file: its bytes, its YAML, its name and place."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from sitegen.errors.code import Code

BYTES: Mapping[str, Code] = MappingProxyType(
    {
        "too-large": Code(
            "The file is too large",
            "the file has {size}",
            "at most {limit}",
            "check that it is the right file",
            "Records and series are small texts. A file far larger than any of them"
            " is most likely a raw log or a picture that landed in the wrong folder,"
            " so it is refused before it is read.",
        ),
        "utf-16": Code(
            "The file is in UTF-16",
            "the file is written in UTF-16",
            "UTF-8",
            'save it anew as "UTF-8" or "CSV UTF-8"',
            "Some editors and spreadsheets offer UTF-16 under the name Unicode. All"
            " files of an archive are UTF-8; the encoding is chosen in the dialogue"
            " that saves the file.",
        ),
        "not-utf-8": Code(
            "The file is not UTF-8",
            "the byte {byte} here is no UTF-8",
            "UTF-8",
            "open the file in the encoding that it was written in (often Latin-1 or"
            " Windows-1252) and save it as UTF-8",
            "All files of an archive are UTF-8. A file in an older encoding shows"
            " its first letter with an accent, degree sign or similar at the place"
            " named.",
        ),
        "control-character": Code(
            "There is a character that cannot be seen",
            "the character {char} stands here",
            "letters, digits, punctuation, spaces and line ends",
            "delete it and type the text anew",
            "Control characters and marks that change the direction of writing"
            " cannot be seen, yet change what a text says or how it is compared."
            " They usually come along when text is pasted from elsewhere.",
        ),
    }
)

YAML: Mapping[str, Code] = MappingProxyType(
    {
        "empty-file": Code(
            "The file is empty",
            "the file says nothing",
            "fields, each as name: value",
            "fill it in, or delete it",
            "A file that holds nothing but blank lines and comments makes no record.",
        ),
        "not-fields": Code(
            "The file does not hold fields",
            "the file does not begin with a field",
            "fields, each as name: value",
            "put the name of a field and a colon before each value",
            "A record is a list of named fields. A file that begins with a hyphen"
            " or with a sentence has none.",
        ),
        "several-documents": Code(
            "There are several documents in one file",
            "a second document begins here",
            "one record a file",
            "move what follows into a file of its own",
            "A line of three hyphens begins a new document in YAML. Each record has"
            " a file of its own, because the name of the file is its id.",
        ),
        "key-twice": Code(
            "A field is given twice",
            'the field "{key}" stands on line {first} and again on line {second}',
            "each field once",
            "keep one of the two",
            "Which of the two values was meant cannot be known, so neither is taken.",
        ),
        "key-missing": Code(
            "The name of a field is missing",
            "there is a colon without the name of a field before it",
            remedy="write the name of the field before the colon",
            about="Each line of a record is the name of a field, a colon and its"
            " value. Here the name is missing.",
        ),
        "key-not-a-text": Code(
            "The name of a field is a list",
            "a list or a group of fields stands where the name of a field belongs",
            "a plain name",
            "remove the question mark or the brackets",
            "YAML lets whole lists stand as names; records have no use for them."
            " Most often a bracket or a question mark slipped in.",
        ),
        "empty-value": Code(
            "A value is missing",
            "there is no value",
            remedy="write the value, or leave the line out if it is not known",
            about="What is not known is left out, so that it can be told from what"
            " was forgotten. A name with nothing after its colon, ~ and null are"
            " therefore refused, except that a text may be the word null.",
        ),
        "alias": Code(
            "YAML anchors and aliases are not taken",
            '"&" or "*" stands before "{name}"',
            "plain values",
            "write the value out, or put it into quotes if the sign belongs to it",
            "YAML can name a value with & and repeat it with *. A record is easier"
            " to read and to check when each value stands where it belongs, and a"
            " text that begins with one of these signs would lose its first word.",
        ),
        "tag": Code(
            "YAML tags are not taken",
            'the tag "{tag}" stands before a value',
            "plain values",
            'delete the tag, or put the value into quotes if it begins with "!"',
            "A tag tells a program how to make something of a value. Here the field"
            " decides what its value means, so tags are refused.",
        ),
        "tab": Code(
            "A tab stands in the indentation",
            "the line is indented with a tab",
            "spaces",
            "replace the tab by spaces",
            "YAML indents with spaces only, because a tab is wider in one editor"
            " than in another. Most editors can be told to write spaces when the"
            " tab key is pressed.",
        ),
        "stray-colon": Code(
            "A colon is not expected here",
            "a colon and a space stand inside a value, or the line is indented"
            " otherwise than the line above",
            remedy="put the value into quotes, or indent the line like its neighbours",
            about="A colon followed by a space ends the name of a field. A title with"
            " a colon in it therefore stands in quotes.",
        ),
        "colon-missing": Code(
            "A colon is missing",
            "the line has a name without a colon and a space after it",
            remedy='write it as "name: value"',
            about="The name of a field and its value are parted by a colon and a"
            " space.",
        ),
        "indentation": Code(
            "The indentation does not fit",
            "the line is indented otherwise than its neighbours",
            remedy="indent all fields of a group, and all hyphens of a list, alike",
            about="What belongs together stands equally far from the margin. A single"
            " space too many or too few breaks the group.",
        ),
        "after-value": Code(
            "Something stands after a value",
            "the value before this has ended already",
            remedy="put the whole value into one pair of quotes, or begin a new line",
            about="A value that begins with a quote or a bracket ends with the matching"
            " sign. What follows on the same line belongs to nothing.",
        ),
        "quote-open": Code(
            "A quote is not closed",
            "the quote that opens here is not closed",
            remedy="add the closing quote; inside single quotes, write a quote twice",
            about="A value that begins with a quote ends with the same quote. An"
            " apostrophe within single quotes is written twice.",
        ),
        "unknown-escape": Code(
            "A backslash is not understood",
            "the backslash in these double quotes begins no known escape",
            remedy="use single quotes, or write the backslash twice",
            about="Within double quotes a backslash begins an escape such as \\n."
            " Within single quotes it is a plain backslash.",
        ),
        "bracket-open": Code(
            "A bracket is not closed",
            "the bracket or brace that opens here is not closed, or a comma is"
            " missing behind it",
            remedy="close it, and part what it holds by commas",
            about="A list in brackets and a group in braces end with the matching"
            " sign; what they hold is parted by commas.",
        ),
        "reserved-start": Code(
            "A value begins with a sign that YAML keeps for itself",
            'a value cannot begin with "{char}"',
            remedy="put the value into quotes",
            about="A few signs (@, `, % and the tab) cannot begin a plain value. In"
            " quotes they can.",
        ),
        "too-deep": Code(
            "The values are nested too deeply",
            "lists and groups are nested deeper than any record needs",
            remedy="check the brackets, or the indentation",
            about="No record needs more than half a dozen levels. A deeper file is"
            " damaged, or not a record.",
        ),
        "too-many-values": Code(
            "There are too many values",
            "the file holds more values than any record needs",
            remedy="check that it is the right file",
            about="A file with this many values is not a record; reading it would"
            " only cost time and memory.",
        ),
        "yaml-syntax": Code(
            "The YAML is broken",
            "the file cannot be read from here on ({problem})",
            remedy="compare the line with its neighbours, or with the example of this"
            " record",
            about="The parser stumbled over something that has no entry of its own."
            " The cause is often on the line before the one named.",
        ),
    }
)

PICTURES: Mapping[str, Code] = MappingProxyType(
    {
        "picture-unreadable": Code(
            "A photograph cannot be read",
            "the picture cannot be read ({why})",
            "a whole JPEG, PNG or WebP file of at most 40 million pixels",
            "export the picture anew",
            "Photographs are decoded and written anew, so that the place and time at"
            " which they were taken do not go along. A file that cannot be decoded"
            " is not published.",
        ),
        "picture-name": Code(
            "A photograph's name does not say what it is",
            "the file is a {kind}, which its name does not say",
            "a name that ends with {endings}",
            "rename the file, and the entry that names it",
            "A web server tells browsers what a file is by the ending of its name. A"
            " picture under another name would not be shown everywhere.",
        ),
        "sound-unreadable": Code(
            "A sound recording cannot be read",
            "the recording cannot be read ({why})",
            "a WAV, FLAC, MP3 or M4A file of at most 20 MB, its name ending with"
            " .wav, .flac, .mp3 or .m4a",
            "export the recording anew",
            "Recordings are published without their tags, in which recorders and"
            " programs write names, places and times. A file in which sound and tags"
            " cannot be told apart is not published.",
        ),
    }
)

GOING: Mapping[str, Code] = MappingProxyType(
    {
        "file-vanished": Code(
            "A file went away while it was being read",
            "the file was there a moment ago, and is not any longer",
            remedy="compile again",
            about="Something else moved or deleted the file while the archive was being"
            " compiled: an editor that was saving it, a synchronising folder, a change"
            " of branch.",
        ),
        "link-outside": Code(
            "A link leads out of the archive",
            "the link leads to a folder, or out of the archive",
            "files and folders of the archive itself, and links to its own files",
            "put the files themselves there",
            "What is published must not depend on what lies elsewhere on one machine.",
        ),
        "not-worked-out": Code(
            "Something could not be worked out",
            "{what} could not be worked out ({why})",
            remedy="look for what is unusual in its records and series",
            about="A number or page rests on data from which it cannot be worked out."
            " Everything else has been compiled.",
        ),
    }
)

NAMES: Mapping[str, Code] = MappingProxyType(
    {
        "no-settings": Code(
            "There is no archive.yaml",
            "the folder holds no archive.yaml",
            remedy="change into the folder of the archive, or begin a new one with"
            ' "sitegen start"',
            about="archive.yaml holds what is true for the whole archive, such as its"
            " name and address; its presence makes a folder an archive.",
        ),
        "settings-name": Code(
            "The settings are not called archive.yaml",
            "the file is passed over",
            "archive.yaml",
            "rename it",
            "The settings of the archive are looked for under exactly this name.",
        ),
        "stray-file": Code(
            "A file lies outside the folders of records",
            "the file lies directly in records",
            "one of the folders {folders}",
            "move it into the folder of its kind",
            "The folder says what kind of record a file is. Only addresses.yaml lies"
            " directly in records.",
        ),
        "unknown-folder": Code(
            "There is no such kind of record",
            'no kind of record lies in a folder "{folder}"',
            "one of {folders}",
            'did you mean "{guess}"?',
            "The folder says what kind of record a file is. Folders inside those"
            " of a kind may have any name.",
        ),
        "wrong-suffix": Code(
            "The file has another ending than expected",
            "a file of this folder is not read under this name",
            "a name that ends with {suffix}",
            "rename the file, or move it out of this folder",
            "Records end with .yaml, series with .csv, prose with .md. Hidden files"
            " and the backup files of editors are passed over silently; anything"
            " else might be a record that would otherwise be missed.",
        ),
        "bad-file-name": Code(
            "The name of the file cannot be an id",
            'the name "{name}" cannot be an id',
            "lower-case letters a to z, digits and hyphens; a letter or digit first;"
            " 64 at the most",
            'rename it, for example to "{guess}"',
            "The name of a file, without its ending, is the id of the record. It"
            " becomes part of permanent addresses and must read the same on every"
            " system.",
        ),
        "same-id": Code(
            "Two files have one id",
            "{other} has the same id",
            "each id once in a kind",
            "rename one of the two, or delete it",
            "Records may lie in folders of their own; the id is the name of the file"
            " all the same. Names that differ by capitals only, or by the way in"
            " which an accent is stored, are one name on many systems.",
        ),
        "name-not-text": Code(
            "The name of a file is no text",
            "the bytes of the file's name are no UTF-8",
            "a name in UTF-8",
            "rename the file",
            "Names in an older encoding read differently on every system. They come"
            " along with archives that were packed on an old system.",
        ),
        "same-name": Code(
            "Two files have names that some systems cannot tell apart",
            "{other} has the same name but for capitals or the form of its accents",
            "names that differ otherwise",
            "rename one of the two",
            "Names that differ by capitals only, or by the way in which an accent is"
            " stored, are one name on many systems, and one of the two files would"
            " take the other's place there.",
        ),
        "reserved-id": Code(
            "A prose page cannot have this id",
            'the address "{id}" belongs to the site',
            "any other name",
            "rename the file",
            "A prose page stands directly under the site's address. Names such as"
            " devices, runs or data lead to pages of the site itself.",
        ),
    }
)
