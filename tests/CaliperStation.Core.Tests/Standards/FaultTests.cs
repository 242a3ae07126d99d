using CaliperStation.Core.Standards;
using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Tests.Standards;

public class FaultTests
{
    [Fact]
    public void The_small_standard_has_no_fault() => StandardFiles.Loaded(SmallStandard.Text);

    // piece of the small standard, what stands there instead, the piece of it the caret must point at (from its start), part of the message, part of what to write.
    public static TheoryData<string, string, string, string, string> Faults() => new()
    {
        // The head
        { "unit    = \"in\"\n", "", "name", "no unit", "\"in\" or \"mm\"" },
        { "unit    = \"in\"", "unit    = \"inch\"", "\"inch\"", "unit knows no \"inch\"", "\"in\"" },
        { "unit    = \"in\"", "unit    = 25.4", "25.4", "unit of the file is a number", "\"in\"" },
        { "show    = \"ticks\"", "show    = \"tick\"", "\"tick\"", "show knows no \"tick\"", "\"ticks\"" },
        { "show    = \"ticks\"", "shwo    = \"ticks\"", "shwo", "no key \"shwo\"", "show" },
        { "edition = \"1\"", "edition = 1", "1", "edition of the file is a number", "quotes" },
        { "name    = \"Test company\"", "name    = \"\"", "\"\"", "name is empty", "words" },
        { "name    = \"Test company\"", "name    = \"a\\u001b[31mb\"", "\\u001b", "name holds \\x1B", "control" },
        { "name    = \"Test company\"", "name    = \"ab\\u202ec\"", "\\u202e", "name holds \\u202E", "control" },
        { "name    = \"Test company\"", $"name    = \"{new string('n', 81)}\"", "\"nnn", "name has 81 characters", "at most 80" },
        { "name    = \"Test company\"", "name    = '''ab\ncd'''", "'''ab", "cannot be printed", "one line" },
        { "rule    = \"guarded\"", "rule    = \"garded\"", "\"garded\"", "rule knows no", "\"guarded\"" },
        { "rule    = \"guarded\"", "rule    = \"guarded\"\nconfidence = 0.4", "0.4", "confidence is 0.4", "0.5 to 0.9999" },
        { "rule    = \"guarded\"", "rule    = \"guarded\"\nconfidence = 1", "1\n", "confidence is 1", "0.5 to 0.9999" },
        { "rule    = \"guarded\"", "rule    = \"guarded\"\nconfidence = nan", "nan", "confidence is nan", "0.5 to 0.9999" },
        { "within  = \"1/32\"", "within  = \"0.005 mm\"", "\"0.005", "finer than the caliper shows (0.01 mm)", "0.01 mm" },
        { "within  = \"1/32\"", "within  = \"0\"", "\"0\"", "within of [judging] is 0", "above 0" },
        { "within  = \"1/32\"", "within  = \"-1/32\"", "\"-1/32\"", "is negative", "above 0" },
        { "hand    = \"0.1 mm\"", "hand    = \"-0.1 mm\"", "\"-0.1", "hand is not positive", "above 0" },
        { "hand    = \"0.1 mm\"", "hand    = 2026-01-01", "2026", "hand is a date or time", "a length" },
        { "[judging]", "[[judging]]", "[[judging", "judging of the file is a list", "[judging]" },
        { "[judging]", "name = \"twice\"\n[judging]", "name = \"twice", "\"name\" is already said on line 1", "one of the two" },

        // Questions and readiness
        { "answers = [\"yes\", \"no\"]", "answers = [\"yes\"]", "[\"yes\"]", "one answer only", "two answers" },
        { "answers = [\"yes\", \"no\"]", "answers = []", "[]", "answers of question \"cord\" is empty", "texts" },
        { "answers = [\"yes\", \"no\"]", "answers = [\"yes\", \"no\", \"yes\"]", "\"yes\"]", "\"yes\" is there twice", "each answer once" },
        { "answers = [\"yes\", \"no\"]", "answers = [\"yes\", 5]", "5]", "holds a number where a text belongs", "quotes" },
        { "id      = \"cord\"", "id      = \"2 cords\"", "\"2 cords\"", "is no id", "a letter first" },
        { "when    = { cord = \"yes\" }", "when    = { cork = \"yes\" }", "cork", "no question, relation or row count \"cork\"", "\"cord\"" },
        { "when    = { cord = \"yes\" }", "when    = { cord = \"yse\" }", "\"yse\"", "no answer to \"cord\" that says \"yse\"", "\"yes\"" },
        { "when    = { cord = \"yes\" }", "when    = { hidden = \">= 1/3\" }", "hidden", "waits for a value that is measured later", "answer" },
        { "when    = { cord = \"yes\" }", "when    = \"cord\"", "\"cord\"\n[[land", "when of ready \"hands\" is a text", "{ question" },
        { "when    = { cord = \"yes\" }", "when    = {}", "{}", "is empty", "question" },
        { "[[ready]]", "[[question]]\nid = \"spare\"\nask = \"Anything else?\"\nanswers = [\"no\", \"yes\"]\n[[ready]]", "\"spare\"", "nothing asks about question \"spare\"", "when = { spare" },
        { "[[ready]]", "[ready]", "[ready]", "ready is a table", "[[ready]]" },
        { "ask     = \"Hands clean\"\n", "", "[[ready]]", "ready \"hands\" has no ask", "ask =" },

        // Looks
        { "[[landmark]]", "[[look]]\nid = \"flat\"\nask = \"Flat\"\n[[landmark]]", "[[look]]", "look \"flat\" has no place", "before or after" },
        { "[[landmark]]", "[[look]]\nid = \"flat\"\nask = \"Flat\"\nbefore = \"rack\"\nafter = \"rack\"\n[[landmark]]", "\"rack\"\n[[land", "comes both before and after", "before or after" },
        { "[[landmark]]", "[[look]]\nid = \"flat\"\nask = \"Flat\"\nafter = \"rakc\"\n[[landmark]]", "\"rakc\"", "no item or step \"rakc\"", "\"rack\"" },
        { "[[landmark]]", "[[look]]\nid = \"flat\"\nask = \"Flat\"\nbefore = \"touch-up\"\n[[landmark]]", "\"touch-up\"", "no item or step \"touch-up\"", "one of" },
        { "[[landmark]]", "[[look]]\nid = \"hands\"\nask = \"Flat\"\nafter = \"all\"\n[[landmark]]", "\"hands\"\nask = \"Flat", "is the id of a [[ready]] line too", "another id" },
        { "[[landmark]]", "[[look]]\nid = \"height\"\nask = \"Flat\"\nafter = \"all\"\n[[landmark]]", "\"height\"\nask", "is the id of a [[relation]] too", "another id" },
        { "[[landmark]]", "[[look]]\nid = \"flat\"\nask = \"Flat\"\nafter = \"all\"\nwait = \"ten minutes\"\n[[landmark]]", "\"ten", "wait is \"ten minutes\"", "10 min" },
        { "[[landmark]]", "[[look]]\nid = \"flat\"\nask = \"Flat\"\nafter = \"all\"\nwait = \"25 h\"\n[[landmark]]", "\"25 h\"", "wait is \"25 h\"", "up to a day" },
        { "[[landmark]]", "[[look]]\nid = \"flat\"\nask = \"Flat\"\nafter = \"all\"\nwait = \"0 s\"\n[[landmark]]", "\"0 s\"", "wait is \"0 s\"", "10 min" },

        { "ask   = \"Pocket to rack, left\"", "ask   = \"Pocket to rack, left\"\nshort = \"the rack at its left pin\"", "\"the rack", "short has 24 characters", "at most 20" },

        // Landmarks and items
        { "at      = [\"3\", \"2\"]", "at      = [\"30\", \"2\"]", "[\"30\"", "lies outside the coat", "within 18 in" },
        { "at      = [\"3\", \"2\"]", "at      = [\"3\"]", "[\"3\"]", "at has 1 entries", "[right, up]" },
        { "place     = [\"0\", \"1/2\"]", "place     = [\"0\", \"50\"]", "[\"0\", \"50\"]", "item \"rack\" lies outside the coat", "24 in above" },
        { "size      = [\"4\", \"3/4\"]", "size      = [\"4\", \"0\"]", "\"0\"]", "size is not positive", "above 0" },
        { "size      = [\"4\", \"3/4\"]\n", "", "[[item]]\nid        = \"rack\"", "item \"rack\" has no size", "size = [width" },
        { "size      = [\"4\", \"3/4\"]", "size      = [\"4\", \"4/3\"]", "3\"]", "size:", "a length such as" },
        { "size      = [\"4\", \"3/4\"]", "size      = [\"4\", \"1 1/128\"]", "128", "size:", "a length such as" },
        { "pins      = [[\"-1\", \"0\"], [\"1\", \"0\"]]", "pins      = []", "[]", "pins of item \"rack\" is empty", "points" },
        { "pins      = [[\"-1\", \"0\"], [\"1\", \"0\"]]", "pins      = [[\"-1\", \"0\"], [\"1\", \"zero\"]]", "zero", "pins:", "a length such as" },
        { "stands_on = \"rack\"", "stands_on = \"rakc\"", "\"rakc\"", "there is no item \"rakc\"", "\"rack\"" },
        { "stands_on = \"left pocket\"", "stands_on = \"badge\"", "\"badge\"", "\"rack\" stands on \"badge\" stands on \"rack\": a cycle", "an order" },
        { "stands_on = \"left pocket\"", "stands_on = \"rack\"", "\"rack\"\nsize", "\"rack\" stands on \"rack\": a cycle", "an order" },
        { "id        = \"badge\"", "id        = \"rack\"", "\"rack\"\nname      = \"badge\"", "another item has the id \"rack\", on line 22", "of its own" },
        { "rows      = { count = 7,", "rows      = { count = 0,", "0, per", "count of rows of item \"badge\" is 0", "1 to 200" },
        { "rows      = { count = 7, per-row = 3,", "rows      = { count = 7,", "{ count", "has no per-row", "per-row = 3" },
        { "rows      = { count = 7,", "size      = [\"1\", \"1\"]\nrows      = { count = 7,", "[\"1\", \"1\"]", "both size and rows", "which give the size" },
        { "gap = \"1/16\"", "gap = \"-1/16\"", "\"-1/16\"", "gap between rows is negative", "0" },
        { "gap = \"1/16\"", "gap = \"1/16\", last = \"centered\"", "\"centered\"", "last knows no", "\"centred\"" },
        { "place     = [\"0\", \"above 1/4\"]", "place     = [\"0\", \"above 5/4\"]", "5/4", "place:", "a length such as" },

        // Steps
        { "from  = \"rack\"", "from  = \"rakc\"", "\"rakc\"", "no item or landmark \"rakc\"", "\"rack\"" },
        { "from  = \"rack\"", "from  = \"left pockt\"", "\"left pockt\"", "no item or landmark", "\"left pocket\"" },
        { "from  = \"rack\"", "from  = \"sleeve\"", "\"sleeve\"", "no item or landmark \"sleeve\"", "one of" },
        { "from  = \"rack\"\n", "", "[[step]]\nid    = \"badge-low\"", "step \"badge-low\" has no from", "reads =" },
        { "of    = \"badge\"\nfrom  = \"rack\"", "of    = \"bagde\"\nfrom  = \"rack\"", "\"bagde\"", "there is no item \"bagde\"", "\"badge\"" },
        { "at    = [\"left\", \"middle\"]\n", "", "[[step]]\nid    = \"side\"", "step \"side\" has no at", "at =" },
        { "at    = [\"left\", \"middle\"]", "at    = [\"left\", \"centre\"]", "centre", "at:", "a length such as" },
        { "grows = \"right\"", "grows = \"rihgt\"", "\"rihgt\"", "grows of step \"side\" is no direction", "\"right\"" },
        { "grows = \"right\"", "grows = \"sideways\"", "\"sideways\"", "is no direction", "30 deg" },
        { "grows = \"right\"\n", "", "[[step]]\nid    = \"side\"", "step \"side\" has no grows", "grows =" },
        { "id    = \"badge-low\"", "id    = \"spare-step\"", "\"spare-step\"", "nothing judges step \"spare-step\"", "[[relation]]" },
        { "reads = \"width\"\nask   = \"Width of the badge\"", "reads = \"breadth\"\nask   = \"Width of the badge\"", "\"breadth\"", "reads knows no", "\"width\"" },
        { "reads = \"width\"\nask   = \"Width of the badge\"", "reads = \"width\"\ngrows = \"up\"\nask   = \"Width of the badge\"", "\"up\"\nask   = \"Width", "reads a size, which has no grows", "not both" },
        { "reads = \"width\"\nask   = \"Width of the badge\"", "reads = \"width\"\nfrom = \"rack\"\nask   = \"Width of the badge\"", "\"rack\"\nask   = \"Width", "from is not what it reads", "no from" },
        { "ask   = \"Pocket edge to rack\"", "ask   = \"Pocket edge to rack\"\nwhen  = { badge-height = \"> 0\" }", "\"side\"\nof    = \"rack\"", "is read after", "an order" },

        // Relations
        { "kind    = \"gap\"\nof      = [\"low-left\", \"low-right\"]", "kind    = \"gab\"\nof      = [\"low-left\", \"low-right\"]", "\"gab\"", "kind knows no \"gab\"", "\"gap\"" },
        { "of  = [\"side\"]", "of  = []", "[]", "of of relation \"side\" is empty", "texts" },
        { "of  = [\"side\"]", "of  = [\"sied\"]", "\"sied\"", "there is no step \"sied\"", "\"side\"" },
        { "of  = [\"side\"]", "of  = [\"side\", \"side\"]", "\"side\"]", "reads \"side\" twice", "each step once" },
        { "of   = [\"low-left\", \"low-right\"]", "of   = [\"low-left\", \"side\"]", "\"side\"]", "is read across", "same way" },
        { "of   = [\"low-left\", \"low-right\"]", "of   = [\"low-left\"]", "[\"low-left\"]", "level is over 1 reading", "exactly 2" },
        { "kind = \"level\"\nof   = [\"low-left\", \"low-right\"]", "kind = \"equal\"\nof   = [\"low-left\", \"side\"]", "\"side\"]", "\"low-left\" is read up and down", "mixed = true" },
        { "of      = [\"badge-low\"]", "of      = [\"badge-low\", \"badge-width\"]", "\"badge-width\"]\nany-of", "reads a size, not a gap", "size" },
        { "within  = \"1/64\"", "within  = \"1/64\"\nspan    = \"3\"", "span", "kind gap has no span", "nominal, within" },
        { "within  = \"1/64\"", "within  = \"0\"", "\"0\"\n[[relation]]", "within of relation \"height\" is 0", "above 0" },
        { "within  = \"1/64\"", "within  = \"0.009 mm\"", "\"0.009", "finer than the caliper shows", "0.01 mm" },
        { "within  = \"1/64\"", "above   = \"1/64\"", "\"1/64\"", "a limit on one side only", "below" },
        { "within  = \"1/64\"", "above   = \"0\"\nbelow = \"0\"", "\"0\"\nbelow", "narrower than the caliper shows", "0.01 mm" },
        { "within  = \"1/64\"", "within  = \"1/64\"\nmin = \"1/16\"", "\"1/16\"\n[[relation]]", "one limit in two ways", "within, or" },
        { "within  = \"1/64\"", "min = \"1/4\"\nmax = \"1/2\"", "\"1/8\"", "nominal of relation \"height\" lies outside", "between" },
        { "min = \"1/4\"", "min = \"1\"", "\"3/4\"\n[[relation]]\nid   = \"hidden\"", "min of relation \"side\" is above its max", "smaller" },
        { "min = \"1/4\"\nmax = \"3/4\"\n", "", "[[relation]]\nid  = \"side\"", "relation \"side\" has no limits", "nominal" },
        { "min = \"1/4\"\nmax = \"3/4\"", "within = \"1/4\"", "\"1/4\"\n[[relation]]\nid   = \"hidden\"", "within but no nominal", "nominal" },
        { "min = \"1/4\"", "min = \"< 1/4\"", "\"< 1/4\"", "min of relation \"side\" has a sign that is not its own", ">= or >" },
        { "min = \"1/4\"\nmax = \"3/4\"", "max = \"= 3/4\"", "\"= 3/4\"", "max of relation \"side\" has a sign that is not its own", "<= or <" },
        { "min = \"1/4\"", "min = \">  1/x\"", "x\"", "min: ", "a length" },
        { "within  = \"1/64\"", "min = \"> 1/8\"\nmax = \"1/2\"", "\"1/8\"\nmin", "nominal of relation \"height\" lies outside", "between" },
        { "any-of  = [\"1/4\", \"1/2\"]", "any-of  = [\"1/4\", \"0.25\"]", "\"0.25\"]", "any-of says the same twice", "once" },
        { "any-of  = [\"1/4\", \"1/2\"]", "any-of  = [\"1/4\"]\nnominal = \"1/4\"", "[\"1/4\"]", "both nominal and any-of", "one of the two" },
        { "hidden = \">= 1/3\"", "hidden = \"1/3\"", "\"1/3\"", "is not compared with anything", ">= 1/3" },
        { "hidden = \">= 1/3\"", "hidden = \">= a third\"", "a third", "is no share", "1/3" },
        { "hidden = \">= 1/3\"", "height = \">= 1/3\", hidden = \">= 1/3\"", "height =", "a value for each of its readings", "one reading" },
        { "hidden = \">= 1/3\"", "badge-height = \"> 0\", hidden = \">= 1/3\"", "{ badge", "\"badge-height\" waits for \"badge-height\": a cycle", "an order" },
        { "badge.rows = \">= 3\"", "rack.rows = \">= 3\"", "rows = \">= 3\"", "\"rack\" is not made of rows", "rows = {" },
        { "badge.rows = \">= 3\"", "badge.rows = \">= three\"", "three", "no count of rows", ">= 3" },
        { "[[relation]]\nid   = \"hidden\"", "[[relation]]\nsource = { document = \"d\", claus = \"1\" }\nid   = \"hidden\"", "claus", "no key \"claus\"", "clause" },

        // Not TOML
        { "show    = \"ticks\"", "show    = \"ticks", "\n[judging]", "not TOML", "quotes" },
        { "show    = \"ticks\"", "show    = ", "\n[judging]", "not TOML", "key = value" },
        { "[[landmark]]", "[[landmark]", "]\nname    = \"left", "not TOML", "key = value" },
    };

    [Theory]
    [MemberData(nameof(Faults))]
    public void Each_fault_is_told_at_its_place_in_words_with_what_to_write(string piece, string instead, string caret, string message, string write)
    {
        string text = SmallStandard.With(piece, instead);
        int at = text.IndexOf(caret, StringComparison.Ordinal);
        Assert.True(at >= 0, $"\"{caret}\" is not in the text");
        int line = text[..at].Count(c => c == '\n') + 1, column = at - (at == 0 ? 0 : text.LastIndexOf('\n', at - 1) + 1) + 1;

        StandardLoad load = StandardText.Load(text);

        Assert.False(load.IsStandard);
        TextFault? fault = load.Faults.FirstOrDefault(fault => fault.Message.Contains(message, StringComparison.Ordinal));
        Assert.True(fault is not null, string.Join('\n', load.Faults));
        Assert.Contains(write, fault.Instead, StringComparison.Ordinal);
        Assert.Equal((line, column), (fault.Line, fault.Column));
    }

    [Theory]
    [InlineData("stands_on = \"left pocket\"", "stands_on = \"badge\"", FaultKind.Cycle)]
    [InlineData("at      = [\"3\", \"2\"]", "at      = [\"30\", \"2\"]", FaultKind.OutsideCoat)]
    [InlineData("place     = [\"0\", \"1/2\"]", "place     = [\"0\", \"50\"]", FaultKind.OutsideCoat)]
    [InlineData("of  = [\"side\"]", "of  = [\"side\", \"side\"]", FaultKind.ReadTwice)]
    [InlineData("of   = [\"low-left\", \"low-right\"]", "of   = [\"low-left\", \"side\"]", FaultKind.OtherWay)]
    [InlineData("grows = \"right\"", "grows = \"rihgt\"", FaultKind.Text)]
    public void What_lies_in_the_whole_of_the_text_has_a_kind(string piece, string instead, FaultKind kind) =>
        Assert.Contains(StandardText.Load(SmallStandard.With(piece, instead)).Faults, fault => fault.Kind == kind);

    [Fact]
    public void Every_fault_of_a_file_is_told_in_one_go()
    {
        string text = SmallStandard.With("unit    = \"in\"", "unit    = \"inch\"")
            .Replace("grows = \"right\"", "grows = \"rihgt\"", StringComparison.Ordinal)
            .Replace("min = \"1/4\"", "min = \"9/4\"", StringComparison.Ordinal)
            .Replace("stands_on = \"rack\"", "stands_on = \"rakc\"", StringComparison.Ordinal)
            .Replace("answers = [\"yes\", \"no\"]", "answers = [\"yes\", \"yes\", \"no\"]", StringComparison.Ordinal);

        StandardLoad load = StandardText.Load(text);

        string[] slips = ["\"inch\"", "\"yes\", \"no\"]", "\"rakc\"", "\"rihgt\"", "\"9/4\""];
        Assert.Equal(slips.Select(slip => text[..text.IndexOf(slip, StringComparison.Ordinal)].Count(c => c == '\n') + 1), load.Faults.Select(fault => fault.Line));
        Assert.Equal(load.Faults.OrderBy(fault => fault.Line).ThenBy(fault => fault.Column), load.Faults);
    }

    [Fact]
    public void One_slip_is_one_fault()
    {
        (string Piece, string Instead)[] slips =
        [
            ("unit    = \"in\"\n", ""), ("size      = [\"4\", \"3/4\"]", "size      = [\"4\", \"3/0\"]"), ("grows = \"right\"", "grows = \"rihgt\""),
            ("kind    = \"gap\"\nof      = [\"low-left\", \"low-right\"]", "kind    = \"gab\"\nof      = [\"low-left\", \"low-right\"]"),
            ("from  = \"rack\"", "from  = \"rakc\""), ("of  = [\"side\"]", "of  = [\"sied\"]"), ("stands_on = \"left pocket\"", "stands_on = \"badge\""), ("show    = \"ticks\"", "show    = \"ticks"),
        ];
        foreach ((string piece, string instead) in slips)
        {
            IReadOnlyList<TextFault> faults = StandardText.Load(SmallStandard.With(piece, instead)).Faults;
            Assert.True(faults.Count == 1, string.Join('\n', faults));
        }
    }

    [Theory]
    [InlineData("show    = \"ticks\"", "show    = ", 4, 11)]
    [InlineData("show    = \"ticks\"", "show    = \"\\UFFFFFFFF\"", 4, 13)]
    [InlineData("show    = \"ticks\"", "show    = \"\\U00110000\"", 4, 13)]
    [InlineData("show    = \"ticks\"", "show    = \"\\uD800\"", 4, 13)]
    [InlineData("show    = \"ticks\"", "\"\\UFFFFFFFF\" = 1", 4, 3)]
    public void What_is_not_TOML_is_one_fault_at_its_place(string piece, string instead, int line, int column)
    {
        TextFault fault = Assert.Single(StandardText.Load(SmallStandard.With(piece, instead)).Faults);

        Assert.Equal((line, column), (fault.Line, fault.Column));
    }

    [Fact]
    public void Bytes_that_are_not_UTF_8_are_refused_at_their_place()
    {
        byte[] bytes = [.. "name = \"é\"\nedition = \""u8, 0xFF, .. "\"\n"u8];

        TextFault fault = Assert.Single(StandardText.Load(bytes).Faults);

        Assert.Equal((2, 12), (fault.Line, fault.Column));
        Assert.Contains("UTF-8", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void More_entries_than_a_blouse_can_have_are_refused()
    {
        string steps = string.Concat(Enumerable.Range(0, 501).Select(i => $"[[step]]\nid = \"s{i}\"\nof = \"rack\"\nreads = \"width\"\nask = \"x\"\n"));

        StandardLoad load = StandardText.Load(SmallStandard.Text + steps);

        Assert.Contains(load.Faults, fault => fault.Message.Contains("there are 507 [[step]] tables", StringComparison.Ordinal) && fault.Instead == "at most 500");
    }

    [Fact]
    public void A_text_that_is_too_long_to_be_a_standard_is_refused_unread()
    {
        Assert.Contains("at most 1000000", Assert.Single(StandardText.Load(new string('#', 1_000_001)).Faults).Instead, StringComparison.Ordinal);
        Assert.Contains("at most 1000000", Assert.Single(StandardText.Load(new byte[1_000_001]).Faults).Instead, StringComparison.Ordinal);
    }

    [Fact]
    public void Nothing_at_all_is_told_what_it_lacks()
    {
        IReadOnlyList<TextFault> faults = StandardText.Load("").Faults;

        Assert.Equal(4, faults.Count);   // and a relation
        Assert.All((string[])["edition", "name", "unit"], key => Assert.Single(faults, fault => fault.Message.EndsWith(" " + key, StringComparison.Ordinal)));
        Assert.All(faults, fault => Assert.Equal((1, 1), (fault.Line, fault.Column)));
    }
}
