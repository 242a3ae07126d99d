namespace CaliperStation.Core.Frames;

/// <summary>The 13-nibble frame d1 to d13, each nibble lowest bit first, as an instrument maker's interface specification gives it.</summary>
internal static class Bcd13Layout
{
    public const int Nibbles = 13;

    public const int Bits = Nibbles * 4;

    /// <summary>d1.</summary>
    public const int Type = 0;

    /// <summary>d2 to d4: F F F, or the number of a stored entry, most significant digit first.</summary>
    public const int Filler = 1;

    public const int FillerNibbles = 3;

    /// <summary>d5: 0 plus, 8 minus.</summary>
    public const int Sign = 4;

    public const int Plus = 0;

    public const int Minus = 8;

    /// <summary>d6 to d11, most significant digit first.</summary>
    public const int Digits = 5;

    public const int DigitNibbles = 6;

    /// <summary>d12: digits after the point, 0 to 5.</summary>
    public const int Point = 11;

    public const int MostDecimals = 5;

    /// <summary>d13: 0 mm, 1 in; with a verdict 2 to 4 mm (high, ok, low), 5 to 7 in; above, none.</summary>
    public const int Unit = 12;

    public const int LastUnit = 7;

    /// <summary>A nibble with nothing in it.</summary>
    public const int Empty = 15;

    /// <summary>d9 to d11 of a number-of-data frame.</summary>
    public const int Count = 8;

    public const int CountNibbles = 3;
}

/// <summary>The first nibble of the 13-nibble frame: what the number is.</summary>
public enum Bcd13Type
{
    /// <summary>An entry kept in a data processor.</summary>
    StoredEntry = 0,

    /// <summary>How many entries are kept; no length.</summary>
    NumberOfData = 1,

    /// <summary>Largest of the entries.</summary>
    Maximum = 2,

    /// <summary>Smallest of the entries.</summary>
    Minimum = 3,

    /// <summary>Mean of the entries.</summary>
    Mean = 4,

    /// <summary>Their standard deviation.</summary>
    Sigma = 5,

    /// <summary>The largest value held on the display.</summary>
    MaximumHold = 6,

    /// <summary>The smallest value held on the display.</summary>
    MinimumHold = 7,

    /// <summary>A later, extended frame whose printed example contradicts itself; refused.</summary>
    Extended = 8,

    /// <summary>What the display shows now.</summary>
    Normal = 15,
}
