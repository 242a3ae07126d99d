namespace CaliperStation.Core.Sittings;

/// <summary>Initials of a hand: all that is kept of a person.</summary>
public static class Initials
{
    /// <summary>Initials as they are kept: capitals, however they were typed.</summary>
    public static string Of(string typed) => typed.ToUpperInvariant();

    /// <summary>True when two initials mean one hand, whatever the case.</summary>
    public static bool Same(string one, string other) => string.Equals(one.Trim(), other.Trim(), StringComparison.OrdinalIgnoreCase);

    /// <summary>What is wrong with these initials, or null: one to four letters or digits.</summary>
    public static string? Validate(string initials) =>
        initials.Length is >= 1 and <= 4 && initials.All(char.IsLetterOrDigit)
            ? null
            : "initials are one to four letters or digits, such as AB; names are not kept";
}
