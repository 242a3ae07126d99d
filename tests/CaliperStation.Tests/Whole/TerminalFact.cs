using CaliperStation.Devices;

namespace CaliperStation.Tests.Whole;

/// <summary>A test that wants a terminal of its own; where none can be had (no Linux, no <c>script</c>) it is skipped, and says so.</summary>
[AttributeUsage(AttributeTargets.Method)]
internal sealed class TerminalFactAttribute : FactAttribute
{
    public TerminalFactAttribute() => Skip = TerminalTheoryAttribute.Why;
}

/// <summary>The same for a theory.</summary>
[AttributeUsage(AttributeTargets.Method)]
internal sealed class TerminalTheoryAttribute : TheoryAttribute
{
    public TerminalTheoryAttribute() => Skip = Why;

    internal static string? Why => OnTerminal.IsPossible ? null : "there is no util-linux script to make a terminal with";
}

/// <summary>A test that wants a pseudo-terminal for a caliper's line; where none can be had it is skipped, and says so.</summary>
[AttributeUsage(AttributeTargets.Method)]
internal sealed class WireFactAttribute : FactAttribute
{
    public WireFactAttribute() => Skip = PseudoTerminal.Unavailable;
}

/// <summary>The same for a theory.</summary>
[AttributeUsage(AttributeTargets.Method)]
internal sealed class WireTheoryAttribute : TheoryAttribute
{
    public WireTheoryAttribute() => Skip = PseudoTerminal.Unavailable;
}
