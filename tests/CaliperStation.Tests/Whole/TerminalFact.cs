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

/// <summary>A test of what only Unix systems have, such as permissions of a file; elsewhere, or where the device it names is missing, it is skipped, and says so.</summary>
[AttributeUsage(AttributeTargets.Method)]
internal sealed class UnixFactAttribute : FactAttribute
{
    public UnixFactAttribute(string device = "/dev/null") => Skip = UnixTheoryAttribute.Why(device);
}

/// <summary>The same for a theory.</summary>
[AttributeUsage(AttributeTargets.Method)]
internal sealed class UnixTheoryAttribute : TheoryAttribute
{
    public UnixTheoryAttribute() => Skip = Why("/dev/null");

    internal static string? Why(string device) => OperatingSystem.IsWindows() ? "this system has no such thing" : File.Exists(device) ? null : $"there is no {device}";
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
