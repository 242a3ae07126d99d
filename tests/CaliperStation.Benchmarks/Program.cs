using BenchmarkDotNet.Running;

namespace CaliperStation.Benchmarks;

internal static class Program
{
    private static void Main(string[] args)
    {
        if (args is ["noise", ..])
        {
            NoiseCount.Run(args.Length > 1 ? int.Parse(args[1], System.Globalization.CultureInfo.InvariantCulture) : 1, Console.Out);
            return;
        }

        if (args is ["wire", ..])
        {
            WireBench.Run(args[1..], Console.Out);
            return;
        }

        if (args is ["start", _, _, ..])
        {
            StartBench.Run(args[1..], Console.Out);
            return;
        }

        if (args is ["store", ..])
        {
            StoreScale.Run(args[1..], Console.Out);
            return;
        }

        BenchmarkSwitcher.FromAssembly(typeof(Program).Assembly).Run(args);
    }
}
