using System.Diagnostics.CodeAnalysis;

namespace CaliperStation.Core.Standards;

/// <summary>One fault of a standard's text.</summary>
/// <param name="Line">From 1.</param>
/// <param name="Column">From 1.</param>
/// <param name="Message">What is wrong, one sentence; anything taken from the text is escaped.</param>
/// <param name="Instead">What to write instead.</param>
public sealed record StandardFault(int Line, int Column, string Message, string Instead);

/// <summary>A standard, or every fault of its text.</summary>
public sealed class StandardLoad
{
    private StandardLoad(Standard? standard, IReadOnlyList<StandardFault> faults)
    {
        Standard = standard;
        Faults = faults;
    }

    /// <summary>The standard; null when there is any fault.</summary>
    public Standard? Standard { get; }

    /// <summary>The faults in the order of the text; empty when there is a standard.</summary>
    public IReadOnlyList<StandardFault> Faults { get; }

    /// <summary>True when there is a standard.</summary>
    [MemberNotNullWhen(true, nameof(Standard))]
    public bool IsStandard => Standard is not null;

    /// <summary>Loaded.</summary>
    public static StandardLoad Of(Standard standard) => new(standard, []);

    /// <summary>Refused, with at least one fault.</summary>
    public static StandardLoad Refused(IReadOnlyList<StandardFault> faults) => new(null, faults);
}
