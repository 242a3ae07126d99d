using System.Diagnostics;
using System.Text;

namespace CaliperStation.Tests.Printing;

/// <summary>A test that reads a paper back with other programs; where one is missing it is skipped, and says so.</summary>
[AttributeUsage(AttributeTargets.Method)]
internal sealed class ToolFactAttribute : FactAttribute
{
    public ToolFactAttribute(params string[] tools) => Skip = Tool.Missing(tools);
}

/// <summary>The same for a theory.</summary>
[AttributeUsage(AttributeTargets.Method)]
internal sealed class ToolTheoryAttribute : TheoryAttribute
{
    public ToolTheoryAttribute(params string[] tools) => Skip = Tool.Missing(tools);
}

/// <summary>Programs beside the station's own.</summary>
internal static class Tool
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(60);   // a bound, not a wait

    internal static string? Missing(IEnumerable<string> tools) =>
        tools.FirstOrDefault(tool => !(Environment.GetEnvironmentVariable("PATH") ?? "").Split(Path.PathSeparator).Any(folder => File.Exists(Path.Combine(folder, tool)))) is { } missing
            ? $"there is no {missing} here to read the paper back with" : null;

    /// <summary>What a program writes to its standard output.</summary>
    internal static string Run(string tool, params IEnumerable<string> arguments)
    {
        ProcessStartInfo call = new(tool) { RedirectStandardOutput = true, RedirectStandardError = true, StandardOutputEncoding = Encoding.UTF8 };
        foreach (string argument in arguments)
        {
            call.ArgumentList.Add(argument);
        }

        using Process process = Process.Start(call)!;
        Task<string> output = process.StandardOutput.ReadToEndAsync(), error = process.StandardError.ReadToEndAsync();
        if (!process.WaitForExit(Patience))
        {
            process.Kill(entireProcessTree: true);
            throw new TimeoutException($"{tool} is still running after {Patience}");
        }

        Assert.True(process.ExitCode == 0, $"{tool}: {error.GetAwaiter().GetResult()}");
        Assert.DoesNotContain("premature end", error.GetAwaiter().GetResult(), StringComparison.Ordinal);
        return output.GetAwaiter().GetResult();
    }
}
