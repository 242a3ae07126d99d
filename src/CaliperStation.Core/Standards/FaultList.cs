using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Standards;

/// <summary>Gathers the faults of one text, so that all are told in one go.</summary>
internal sealed class FaultList
{
    // A text of junk has a fault in every line; nobody reads more than this, and a report must not grow without end.
    private const int Most = 1000;

    private readonly List<StandardFault> _faults = [];
    private readonly List<StandardFault> _whole = [];
    private bool _syntax;

    /// <summary>True when anything was found.</summary>
    internal bool Any => _faults.Count + _whole.Count > 0;

    /// <summary>A fault of this place, whatever the rest of the text says.</summary>
    internal void Add(TextPlace place, string message, string instead) => Add(_faults, place, message, instead);

    /// <summary>A fault that holds only if the whole text was understood: a missing key, a name nobody has. Dropped when something is not TOML.</summary>
    internal void AddWhole(TextPlace place, string message, string instead) => Add(_whole, place, message, instead);

    /// <summary>Something that is not TOML.</summary>
    internal void AddSyntax(TextPlace place, string message, string instead)
    {
        _syntax = true;
        Add(_faults, place, message, instead);
    }

    /// <summary>All faults in the order of the text, each once.</summary>
    internal List<StandardFault> InOrder()
    {
        IEnumerable<StandardFault> all = _syntax && _faults.Count > 0 ? _faults : _faults.Concat(_whole);
        return [.. all.Distinct().OrderBy(fault => fault.Line).ThenBy(fault => fault.Column).Take(Most)];
    }

    /// <summary>A text taken from the file, in quotes, safe and not too long to read.</summary>
    internal static string Quote(string text) => $"\"{Shown(text, 60)}\"";

    /// <summary>A text from outside, safe and cut to a length.</summary>
    internal static string Shown(string text, int most)
    {
        string cut = text.Length <= most ? text : string.Concat(text.AsSpan(0, char.IsHighSurrogate(text[most - 1]) ? most - 1 : most), "…");
        return PrintableText.Escape(cut);
    }

    private static void Add(List<StandardFault> list, TextPlace place, string message, string instead)
    {
        if (list.Count < Most)
        {
            list.Add(new StandardFault(place.Line, place.Column, message, instead));
        }
    }
}
