using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Toml;

/// <summary>One fault of a file's text.</summary>
/// <param name="Line">From 1.</param>
/// <param name="Column">From 1.</param>
/// <param name="Message">What is wrong, one sentence; anything taken from the text is escaped.</param>
/// <param name="Instead">What to write instead.</param>
public sealed record TextFault(int Line, int Column, string Message, string Instead);

/// <summary>Gathers the faults of one text, so that all are told in one go.</summary>
public sealed class FaultList
{
    // A text of junk has a fault in every line; nobody reads more than this, and a report must not grow without end.
    private const int Most = 1000;

    private readonly List<TextFault> _faults = [];

    /// <summary>True when anything was found.</summary>
    public bool Any => _faults.Count > 0;

    /// <summary>A fault at a place.</summary>
    public void Add(TextPlace place, string message, string instead)
    {
        if (_faults.Count < Most)
        {
            _faults.Add(new TextFault(place.Line, place.Column, message, instead));
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
