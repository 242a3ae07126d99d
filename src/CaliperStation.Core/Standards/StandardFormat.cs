using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Standards;

/// <summary>Every table and key the format knows; the loader, its messages and the test of the JSON Schema read this one list.</summary>
internal static class StandardFormat
{
    // Far beyond any blouse, small enough that the order of work and every check stay instant.
    internal const int MaxBytes = 1_000_000;
    private const int MaxSteps = 500;
    internal const int MaxItems = 200;
    private const int MaxLines = 100;

    internal static TableFormat Top { get; } = new(string.Empty, false, 1, [
        Must("name", "\"Harbour blouse\""), Must("edition", "\"2026-1\""), Must("unit", "\"in\" or \"mm\" or \"t\""),
        May("show", "\"ticks\""), May("sides", "\"as-worn\""), May("within", "\"1/32\""), May("judging", "a [judging] table"),
        May("asks", "an [asks] table"), May("garment", "a [garment] table"),
        May("question", "[[question]] tables"), May("ready", "[[ready]] tables"), May("look", "[[look]] tables"), May("landmark", "[[landmark]] tables"),
        May("item", "[[item]] tables"), May("step", "[[step]] tables"), May("relation", "[[relation]] tables")]);

    internal static TableFormat Judging { get; } = new("judging", false, 1, [
        May("rule", "\"guarded\""), May("confidence", "0.95"), May("within", "\"1/32\""), May("hand", "\"0.10 mm\""), May("caliper", "\"0.02 mm\"")]);

    internal static TableFormat Question { get; } = new("question", true, MaxLines, [
        Must("id", "\"cord\""), Must("ask", "\"Is the cord worn?\""), Must("answers", "[\"yes\", \"no\"]")]);

    internal static TableFormat Ready { get; } = new("ready", true, MaxLines, [
        May("id", "\"hands\""), Must("ask", "\"Hands clean and dry\""), May("short", "\"hands\""), May("hint", "a text"), May("caution", "a text"), May("when", "{ cord = \"yes\" }"), May("if", "\"cord = yes\"")]);

    internal static TableFormat Look { get; } = new("look", true, MaxLines, [
        May("id", "\"upright\""), Must("ask", "\"Device upright, its rim flat on the cloth\""), May("before", "\"rack\""), May("after", "\"all\""), May("wait", "\"10 min\""),
        May("short", "\"rack flat\""), May("hint", "a text"), May("caution", "a text"), May("when", "{ cord = \"yes\" }"), May("if", "\"cord = yes\"")]);

    internal static TableFormat Landmark { get; } = new("landmark", true, MaxLines, [
        Must("name", "\"left pocket\""), May("at", "[\"3 1/2\", \"1\"]"), May("size", "[\"5\", \"5 1/2\"]"), May("backing", "{ margin = \"1/8\", hidden = [\"rack.bottom\"] }")]);

    internal static TableFormat Backing { get; } = new("backing", false, 1, [
        May("margin", "\"1/8\""), May("bridge", "\"1/4\""), May("inset", "\"1/16\""), May("hole", "\"1/16\""), May("hidden", "[\"rack.bottom\"]")]);

    /// <summary>An item as a file may write it: with <c>sits</c>, or in the long form.</summary>
    internal static TableFormat Item { get; } = new("item", true, MaxItems, [
        May("id", "\"rack\""), Must("name", "\"ribbon rack\""), May("called", "\"rack\""), May("sits", "[\"3/16 above the left pocket\", \"level\"]"),
        May("both-sides", "true"), May("shape", "\"round\""), May("stands_on", "\"left pocket\""), May("stands-on", "\"left pocket\""), May("size", "[\"4 1/8\", \"3/4\"]"),
        May("place", "[\"0\", \"1/2\"]"), May("pins", "[[\"-1\", \"0\"], [\"1\", \"0\"]]"), May("rows", "{ count = 7, per-row = 3, part = [\"1 3/8\", \"3/8\"] }"),
        May("when", "{ cord = \"yes\" }"), May("if", "\"cord = yes\"")]);

    /// <summary>An item without <c>sits</c>: what is derived for the others must be there.</summary>
    internal static TableFormat LongItem { get; } = Item with { Keys = [.. Item.Keys.Select(key => key.Name is "id" or "stands_on" or "place" or "pins" ? key with { Required = true } : key)] };

    internal static TableFormat SitsLine { get; } = new("sits", false, 1, [
        Must("sits", "\"3/16 above the left pocket\""), May("if", "\"cord = yes\""), May("within", "\"1/64\""), May("hint", "a text"), May("caution", "a text"),
        May("ask", "a text for each reading"), May("id", "\"rack-height\""), May("source", "\"document, clause\"")]);

    internal static TableFormat Ask { get; } = new("asks", false, 1, [
        May("ask", "\"How many ribbons?\""), May("answers", "[\"yes\", \"no\"]"), May("number", "[1, 18]"), May("usual", "6")]);

    internal static TableFormat GarmentPlace { get; } = new("garment", false, 1, [May("at", "[\"4\", \"2\"]"), May("size", "[\"5\", \"5 1/2\"]"), May("both-sides", "true"), May("backing", "{ margin = \"1/8\", hidden = [\"rack.bottom\"] }")]);

    internal static TableFormat Rows { get; } = new("rows", false, 1, [
        May("count", "7"), Must("per-row", "3"), Must("part", "[\"1 3/8\", \"3/8\"]"), May("gap", "\"0\""), May("last", "\"centred\"")]);

    internal static TableFormat Step { get; } = new("step", true, MaxSteps, [
        Must("id", "\"rack-left\""), Must("of", "\"rack\""), May("from", "\"left pocket\""), May("at", "[\"-2 1/16\", \"0\"]"), May("from-at", "[\"0\", \"1/2\"]"),
        May("grows", "\"right\""), May("reads", "\"width\""), May("short", "\"rack, left\""), Must("ask", "\"Left edge of the pocket to the left edge of the rack\""),
        May("hint", "a text"), May("caution", "a text"), May("when", "{ cord = \"yes\" }"), May("if", "\"cord = yes\"")]);

    internal static TableFormat Relation { get; } = new("relation", true, MaxSteps, [
        Must("id", "\"rack-height\""), Must("kind", "\"gap\""), Must("of", "[\"rack-low-left\", \"rack-low-right\"]"), May("nominal", "\"1/8\""), May("within", "\"1/64\""),
        May("above", "\"1/32\""), May("below", "\"1/64\""), May("min", "\"1/16\""), May("max", "\"3/16\""), May("any-of", "[\"0\", \"1/8\"]"),
        May("span", "\"3\""), May("add", "[\"rack.width\"]"), May("mixed", "true"), May("when", "{ cord = \"yes\" }"), May("if", "\"cord = yes\""), May("source", "\"document, clause\"")]);

    internal static TableFormat Source { get; } = new("source", false, 1, [
        Must("document", "\"the document's title\""), May("clause", "\"4.2\""), May("address", "\"https://…\"")]);

    internal static IReadOnlyList<TableFormat> All { get; } = [Top, Judging, Question, Ready, Look, Landmark, Backing, Item, SitsLine, Ask, GarmentPlace, Rows, Step, Relation, Source];

    private static KeyFormat Must(string name, string example) => new(name, true, example);

    private static KeyFormat May(string name, string example) => new(name, false, example);
}
