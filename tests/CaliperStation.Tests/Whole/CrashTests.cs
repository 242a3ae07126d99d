using System.Diagnostics;

namespace CaliperStation.Tests.Whole;

public sealed class CrashTests : IDisposable
{
    private readonly Station _station = new();

    public void Dispose() => _station.Dispose();

    [Fact]
    public async Task What_a_killed_bench_had_shown_is_there_on_the_next_start()
    {
        string standard = _station.File("coat.toml", TestStandard.Text);
        string[] arguments = [standard, "--tag", "QG-1", "--port", "none"];
        using (Process process = Process.Start(_station.Call(["measure", "--plain", "--json", .. arguments]))!)
        {
            using CancellationTokenSource patience = new(TimeSpan.FromSeconds(30));
            await process.StandardInput.WriteAsync("ok\n1/8\n");
            await process.StandardInput.FlushAsync(patience.Token);
            string? line;
            do
            {
                line = await process.StandardOutput.ReadLineAsync(patience.Token);
            }
            while (line is not null && !line.Contains("\"verdict\":\"within\"", StringComparison.Ordinal));
            Assert.NotNull(line);
            process.Kill();   // SIGKILL: nothing can be put in order
            await process.WaitForExitAsync(patience.Token);
        }

        Ran ran = _station.Measure(["1/8", "1/4", "sign AB"], arguments);

        Assert.Equal(0, ran.ExitCode);
        Assert.Equal("bar-low-right", ran.Events("prompt")[0].GetProperty("step").GetString());
        Assert.Equal(0, _station.Run("", "records", "verify").ExitCode);
    }

    [Fact]
    public async Task Two_benches_do_not_write_one_store()
    {
        string standard = _station.File("coat.toml", TestStandard.Text);
        using Process first = Process.Start(_station.Call("measure", "--plain", "--json", standard, "--tag", "QG-1", "--port", "none"))!;
        using CancellationTokenSource patience = new(TimeSpan.FromSeconds(30));
        Assert.NotNull(await first.StandardOutput.ReadLineAsync(patience.Token));   // its first prompt: it has the store

        Ran second = _station.Measure(["stop"], standard, "--tag", "QG-2", "--port", "none");

        Assert.Equal(4, second.ExitCode);
        Assert.Empty(second.Output);
        first.StandardInput.Close();
        await first.WaitForExitAsync(patience.Token);
        Assert.Equal(130, _station.Measure(["stop"], standard, "--tag", "QG-2", "--port", "none").ExitCode);
    }
}
