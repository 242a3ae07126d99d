using System.Diagnostics.CodeAnalysis;

namespace CaliperStation.Core.Quantities;

/// <summary>How a length was written.</summary>
public enum LengthNotation
{
    /// <summary>A number with or without a decimal mark: read off a display.</summary>
    Decimal,

    /// <summary>A common fraction of an inch: read off a rule.</summary>
    Fraction,

    /// <summary>Ticks: read off a rule.</summary>
    Ticks,
}

/// <summary>A length read from text, with how it was written.</summary>
/// <param name="Value">The length.</param>
/// <param name="Unit">The unit it was written in, or the bare unit.</param>
/// <param name="UnitWritten">False when the text had no unit and the bare unit was taken.</param>
/// <param name="Notation">Decimal, fraction or ticks.</param>
/// <param name="Decimals">Digits written after the decimal mark, zeros at the end too; 0 without a mark.</param>
/// <param name="LastPlace">Of a decimal: one unit of the last digit written, at least 1 nm; else 1/64 in.</param>
public readonly record struct ParsedLength(Length Value, LengthUnit Unit, bool UnitWritten, LengthNotation Notation, int Decimals, Length LastPlace);

/// <summary>Why a text is not a length.</summary>
/// <param name="Position">Index of the first character at fault, from 0; the text's length when something is missing at its end.</param>
/// <param name="Message">What is wrong and what to write instead, one sentence; never repeats the text unescaped.</param>
public sealed record LengthFault(int Position, string Message);

/// <summary>A length or the reason why there is none.</summary>
public readonly struct LengthParse
{
    private LengthParse(ParsedLength value, LengthFault? fault)
    {
        Value = value;
        Fault = fault;
    }

    /// <summary>The length; <c>default</c> when there is a fault.</summary>
    public ParsedLength Value { get; }

    /// <summary>The fault, or null.</summary>
    public LengthFault? Fault { get; }

    /// <summary>True when there is a length.</summary>
    [MemberNotNullWhen(false, nameof(Fault))]
    public bool IsLength => Fault is null;

    /// <summary>A length.</summary>
    public static LengthParse Of(ParsedLength value) => new(value, null);

    /// <summary>No length.</summary>
    public static LengthParse Refused(int position, string message) => new(default, new LengthFault(position, message));
}
