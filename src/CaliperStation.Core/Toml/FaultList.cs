using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Toml;

/// <summary>One fault of a file's text.</summary>
/// <param name="Line">From 1.</param>
/// <param name="Column">From 1.</param>
/// <param name="Message">What is wrong, one sentence; anything taken from the text is escaped.</param>
/// <param name="Instead">What to write instead.</param>
public sealed record TextFault(int Line, int Column, string Message, string Instead)
{
    /// <summary>What kind of fault it is, for the few that other code or a test must tell apart.</summary>
    public FaultKind Kind { get; init; }
}

/// <summary>Kinds of faults that lie not in one word of the text but in what it says as a whole.</summary>
public enum FaultKind
{
    /// <summary>The place and what to write there say it all.</summary>
    Text,

    /// <summary>Things wait for each other.</summary>
    Cycle,

    /// <summary>A thing lies outside the coat.</summary>
    OutsideCoat,

    /// <summary>A nominal is far from where the thing's place would have it.</summary>
    FarFromPlace,

    /// <summary>A thing is there on both sides, and its mirrored one cannot be.</summary>
    NoOtherSide,

    /// <summary>Nothing says what a thing sits by.</summary>
    SitsByNothing,

    /// <summary>A rule reads a step twice.</summary>
    ReadTwice,

    /// <summary>Readings that are compared are read across each other.</summary>
    OtherWay,
}

/// <summary>Gathers the faults of one text, so that all are told in one go.</summary>
public sealed class FaultList
{
    // A text of junk has a fault in every line; nobody reads more than this, and a report must not grow without end.
    private const int Most = 1000;

    private readonly List<TextFault> _faults = [];

    /// <summary>True when anything was found.</summary>
    public bool Any => _faults.Count > 0;

    /// <summary>A fault at a place.</summary>
    public void Add(TextPlace place, string message, string instead, FaultKind kind = FaultKind.Text)
    {
        if (_faults.Count < Most)
        {
            _faults.Add(new TextFault(place.Line, place.Column, message, instead) { Kind = kind });
        }
    }

    /// <summary>All faults in the order of the text, each once; what one place and one cure are told of twice, as of a thing and its mirrored one, is one fault.</summary>
    public IReadOnlyList<TextFault> InOrder() => [.. _faults.Distinct().DistinctBy(fault => (fault.Line, fault.Column, fault.Line + fault.Column == 2 ? fault.Message : fault.Instead)).OrderBy(fault => fault.Line).ThenBy(fault => fault.Column)];

    /// <summary>A text taken from the file, in quotes, safe and not too long to read.</summary>
    public static string Quote(string text) => $"\"{Shown(text, 60)}\"";

    /// <summary>A text from outside, safe and cut to a length.</summary>
    public static string Shown(string text, int most)
    {
        string cut = text.Length <= most ? text : string.Concat(text.AsSpan(0, char.IsHighSurrogate(text[most - 1]) ? most - 1 : most), "…");
        return PrintableText.Escape(cut);
    }
}
