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
